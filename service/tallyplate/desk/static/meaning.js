// What somebody means by what they type for an answer.

import { completed, length } from "./units.js";

const YES = /^(y|yes|true)$/i;
const NO = /^(n|no|false)$/i;

/** The choice that was meant: the whole of it, its beginning, the beginning of a word; -1 where none or a figure was. */
export function best(text, options, field) {
  const sought = text.trim().toLowerCase();
  if (!sought) return -1;
  const said = options.map(({ value, words }) => [String(value).toLowerCase(), words.toLowerCase()]);
  const whole = said.findIndex((names) => names.includes(sought));
  if (whole >= 0 || ["length", "integer", "number", "money", "date"].includes(field.kind)) return whole;
  const begins = said.findIndex((names) => names.some((name) => name.startsWith(sought)));
  return begins >= 0 ? begins : said.findIndex((names) => names.some((name) => ` ${name}`.includes(` ${sought}`) || name.includes(`-${sought}`)));
}

/** A typed answer as a value of its field; undefined where it cannot be one. */
export function meant(text, field, unit, question) {
  switch (field.kind) {
    case "length": {
      const found = completed(text, unit);
      return length(found) ? found : undefined;
    }
    case "integer": return /^\d{1,9}$/.test(text) ? Number(text) : undefined;
    case "number": return /^-?\d+(\.\d+)?$/.test(text) ? Number(text) : undefined;
    case "yes_no": return YES.test(text) ? true : NO.test(text) ? false : undefined;
    case "money": return /^\d+(\.\d+)?$/.test(text) ? `${text} ${question.currency}` : text;
    case "date": return /^\d{4}-\d\d-\d\d$/.test(text) ? text : undefined;
    default: return question.choices ? undefined : text;
  }
}
