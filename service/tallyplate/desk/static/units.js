// Lengths as people write them. A length stays the text that was typed; other units are a reading of it, worked out in
// whole numbers, so that switching units never loses a figure. An inch is 25.4 mm exactly.

const UNITS = { um: [1n, 1000n], mm: [1n, 1n], cm: [10n, 1n], m: [1000n, 1n], in: [254n, 10n], ft: [3048n, 10n] };
const LENGTH = /^(?:(\d{1,9})(?:\.(\d{1,9}))?|(?:(\d{1,6}) )?(\d{1,6})\/(\d{1,6})) ?(um|mm|cm|m|in|ft)$/;
const FINEST = 64n; // the finest fraction that stands on a steel rule
const PLACES = 4;

const gcd = (a, b) => (b ? gcd(b, a % b) : a);
const ratio = (n, d) => { const g = gcd(n, d) || 1n; return [n / g, d / g]; };

/** A length in mm as a ratio of whole numbers, with the unit that it was written in; null for what is none. */
export function length(text) {
  const found = LENGTH.exec(typeof text === "string" ? text : "");
  if (!found) return null;
  const [, whole, decimals = "", ones, over, under, unit] = found;
  if (under && BigInt(under) === 0n) return null;
  const [n, d] = over
    ? [BigInt(ones ?? 0) * BigInt(under) + BigInt(over), BigInt(under)]
    : [BigInt(whole + decimals), 10n ** BigInt(decimals.length)];
  const [by, per] = UNITS[unit];
  return { mm: ratio(n * by, d * per), unit };
}

/** What was typed, with the unit in use where it has none; 24" and 27-9/16 are understood. */
export function completed(typed, unit) {
  const text = typed.trim().replace(/\s+/g, " ").replace(/^(\d+)-(\d+\/)/, "$1 $2").replace(/ ?["\u2033]$/, " in");
  return /^(\d+(\.\d+)?|(\d+ )?\d+\/\d+)$/.test(text) ? `${text} ${unit}` : text.replace(/(\d)(um|mm|cm|m|in|ft)$/, "$1 $2");
}

const imperial = (unit) => unit === "in" || unit === "ft";

/** A length as it is read in a unit: as written where it was written so, exact where it can be, else marked. */
export function reading(text, unit) {
  const found = length(text);
  if (!found) return String(text);
  if (imperial(found.unit) === imperial(unit)) return text;
  const [n, d] = unit === "in" ? ratio(found.mm[0] * 10n, found.mm[1] * 254n) : found.mm;
  if (unit === "in" && d > 1n && d <= FINEST && FINEST % d === 0n) return `${mixed(n, d)} in`;
  const exact = decimal(n, d);
  return exact !== null ? `${exact} ${unit}` : `\u2248 ${rounded(n, d)} ${unit}`;
}

const mixed = (n, d) => `${n / d ? `${n / d} ` : ""}${n % d}/${d}`;

/** As a decimal that ends, of at most ten places; null where there is none. */
function decimal(n, d) {
  for (let places = 0; places <= 10; places += 1) {
    const scaled = n * 10n ** BigInt(places);
    if (scaled % d === 0n) return pointed(scaled / d, places);
  }
  return null;
}

const rounded = (n, d) => pointed((n * 10n ** BigInt(PLACES) * 2n + d) / (2n * d), PLACES);

function pointed(whole, places) {
  const text = String(whole).padStart(places + 1, "0");
  return places ? `${text.slice(0, -places)}.${text.slice(-places)}` : text;
}

/** Kilograms, and pounds beside them where inches are in use; a pound is 0.45359237 kg exactly. */
export function weight(kilograms, unit) {
  const kg = `${Number(kilograms).toFixed(1)} kg`;
  return unit === "in" ? `${(Number(kilograms) / 0.45359237).toFixed(1)} lb (${kg})` : kg;
}
