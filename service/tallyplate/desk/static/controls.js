// One control for each kind of field. Each holds what was typed, says what stands where nothing was, and what is wrong.

import * as announce from "./announce.js";
import * as offer from "./offer.js";
import * as store from "./store.js";
import { el, fill, say } from "./dom.js";
import { completed, length, reading } from "./units.js";

const SHORT = 20; // letters that a closed list shows

/** {field, node, update(value, assumed, fault)}; `change(field, value)` is told of every change, undefined for none. */
export function control(field, { change }) {
  const id = `f${field.pointer.replaceAll(/[^A-Za-z0-9]/g, "-")}`;
  const words = el("span");
  const says = el("p", { class: "says", id: `${id}-says` }, words);
  const wrong = el("p", { class: "wrong", id: `${id}-wrong`, hidden: true });
  const make = MAKERS[field.kind === "list" ? "several" : listed(field) ? "choice" : "typed"];
  const made = make(field, { id, change: (value) => change(field, value) });
  const optional = field.needed || field.pointer === "/plate/family" ? el("small", {}, "needed") : null;
  const node = made.legend
    ? el("fieldset", { class: "field wide" }, el("legend", {}, field.title), made.node, wrong, says)
    : el("div", { class: "field" }, el("label", { for: id }, field.title, " ", optional), made.node, wrong, says);
  return {
    field,
    node,
    update(value, assumed, fault) {
      made.update(value, assumed);
      say(words, told(field, value, assumed));
      // The longest that has stood here keeps its room, so that nothing moves when it goes.
      if (words.textContent.length > (says.dataset.room ?? "").length) says.dataset.room = words.textContent;
      says.classList.toggle("assumed", value === undefined && Boolean(assumed));
      if (fault && wrong.textContent !== fault) announce.urgently(`${field.title}: ${fault}`);
      say(wrong, fault ?? "");
      wrong.hidden = !fault;
      made.input?.setAttribute("aria-invalid", String(Boolean(fault)));
    },
  };
}

const listed = (field) => ["choice", "yes_no"].includes(field.kind) || ["/plate/family", "/plate/material", "/plate/finish"].includes(field.pointer);

/** Beneath a control: the other unit of what was typed, or what is assumed and why, or what the field is. */
function told(field, value, assumed) {
  const { request, unit } = store.current();
  if (length(value)) return value === reading(value, unit) ? reading(value, unit === "mm" ? "in" : "mm") : `as written: ${value}`;
  if (value !== undefined) return listed(field) ? whole(offer.said(request, field.pointer, value, unit)) : "";
  if (field.kind === "counts") return `How many of each, such as ${shown(field.examples[0], field)}`;
  if (assumed) return `assumed ${offer.said(request, field.pointer, assumed.value, unit)}: ${assumed.why}`;
  return field.description;
}

/** Words that a closed list cuts off. */
const whole = (words) => (words.length > SHORT ? words : "");

const MAKERS = { typed, choice, several };

function typed(field, { id, change }) {
  const input = el("input", {
    id, type: "text", autocomplete: "off", spellcheck: "false", autocapitalize: "off",
    inputmode: field.kind === "integer" ? "numeric" : null,
    "aria-describedby": `${id}-says ${id}-wrong`, list: `${id}-list`,
  });
  const list = el("datalist", { id: `${id}-list` });
  const isLength = field.kind === "length";
  input.addEventListener("input", () => change(read(input.value.trim(), field, store.current().unit)));
  input.addEventListener("blur", () => { store.close(); input.value = shown(held, field); });
  let held;
  return {
    node: el("div", {}, input, list),
    input,
    update(value) {
      held = value;
      if (document.activeElement !== input || !same(read(input.value.trim(), field, store.current().unit), value)) input.value = shown(value, field);
      const known = offer.choices(store.current().request, field);
      if (!isLength && known.length !== list.children.length) fill(list, known.map((one) => el("option", { value: String(one.value) }, one.said)));
    },
  };
}

const same = (a, b) => JSON.stringify(a) === JSON.stringify(b);

function read(text, field, unit) {
  if (!text) return undefined;
  if (field.kind === "length") return completed(text, unit);
  if (field.kind === "integer") return /^\d{1,9}$/.test(text) ? Number(text) : text;
  if (field.kind === "counts") return counts(text);
  if (field.kind === "number") return /^-?\d+(\.\d+)?$/.test(text) ? Number(text) : text;
  return text;
}

/** What was typed as a count of each; the text itself where it is none. */
function counts(text) {
  const pairs = text.split(",").map((one) => /^\s*([^\s:]+)\s*:\s*(\d{1,9})\s*$/.exec(one));
  return pairs.every(Boolean) ? Object.fromEntries(pairs.map(([, name, count]) => [name, Number(count)])) : text;
}

function shown(value, field) {
  if (value === undefined) return "";
  if (field.kind === "counts") return offer.counted(value);
  return field.kind === "length" ? reading(value, store.current().unit) : String(typeof value === "object" ? JSON.stringify(value) : value);
}

function choice(field, { id, change }) {
  const select = el("select", { id, "aria-describedby": `${id}-says ${id}-wrong` });
  let all = [];
  let made = "";
  select.addEventListener("change", () => change(all[Number(select.value)]?.value));
  select.addEventListener("blur", () => store.close());
  return {
    node: select,
    input: select,
    update(value, assumed) {
      const { request, unit } = store.current();
      const known = offer.choices(request, field);
      const odd = value !== undefined && !known.some((one) => same(one.value, value));
      all = odd ? [...known, { value, said: String(value) }] : known;
      const open = assumed ? `as usual: ${offer.said(request, field.pointer, assumed.value, unit)}` : "not said";
      const key = JSON.stringify([open, all]);
      if (key !== made) fill(select, el("option", { value: "" }, open), all.map((one, index) => el("option", { value: String(index) }, one.said)));
      made = key;
      select.value = value === undefined ? "" : String(all.findIndex((one) => same(one.value, value)));
    },
  };
}

function several(field, { id, change }) {
  const boxes = field.choices.map((value) => el("input", { type: "checkbox", value, id: `${id}-${value}` }));
  const back = el("button", { type: "button", class: "quiet", on: { click: () => change(undefined) } }, "take back");
  const node = el("div", { class: "boxes" },
    boxes.map((box) => el("label", {}, box, ` ${box.value.replaceAll("_", " ")}`)), back);
  node.addEventListener("change", () => change(boxes.filter((box) => box.checked).map((box) => box.value)));
  return {
    legend: true,
    node,
    update(value, assumed) {
      for (const box of boxes) box.checked = (value ?? assumed?.value ?? []).includes(box.value);
      back.disabled = value === undefined;
    },
  };
}
