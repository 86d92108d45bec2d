// The form of every field, drawn from the family's schema; it is built once a family, and then only its values change,
// so that nobody's typing is disturbed.

import * as offer from "./offer.js";
import * as store from "./store.js";
import { known } from "./answers.js";
import { control } from "./controls.js";
import { byId, el, fill } from "./dom.js";
import { at, put } from "./pointer.js";
import { AROUND } from "./schema.js";

let built = "";
let controls = [];

/** Bring the form to the state as it stands. */
export function show() {
  const { request } = store.current();
  const name = offer.family(request)?.name ?? "";
  if (built !== made(name, request)) build(request, name);
  const assumed = new Map((known.price?.assumed ?? []).map(({ pointer, value, why }) => [pointer, { value, why }]));
  for (const { pointer, value } of known.questions?.supposed ?? []) assumed.set(pointer, { value, why: "supposed, until it is said" });
  const stated = new Set(controls.map((one) => one.field.pointer));
  for (const one of controls) one.update(at(request, one.field.pointer), assumed.get(one.field.pointer), fault(one.field.pointer, stated));
}

/** What is wrong with a field, or with something inside it that has no control of its own. */
function fault(pointer, stated) {
  const own = known.faults.get(pointer);
  if (own) return own;
  return [...known.faults].find(([where]) => where.startsWith(`${pointer}/`) && !stated.has(where))?.[1] ?? null;
}

/** What the form is built for. */
const made = (name, request) => `${name}:${Boolean(offer.services())}:${shape(offer.tree(request), request)}`;

/** How many items each list of groups has, and of which kinds: what the form is built for. */
function shape(tree, request) {
  return tree.map((field) => {
    if (field.fields) return shape(field.fields, request);
    if (!grouped(field)) return "";
    return `[${held(field, request).length}:${held(field, request).map((item, index) => `${kind(field, item)?.tag ?? ""}${shape(field.item(index, item).fields ?? [], request)}`).join(";")}]`;
  }).join(",");
}

/** The items of a list as they stand. */
function held(field, request) {
  const found = at(request, field.pointer);
  return Array.isArray(found) ? found : [];
}

/** Which of the kinds of a list an item is, where it has kinds. */
const kind = (field, item) => field.variants.find((one) => one.tag === item?.[one.told]);

const grouped = (field) => field.kind === "list" && !field.choices;

function build(request, name) {
  controls = [];
  const tree = offer.tree(request);
  built = made(name, request);
  const plain = tree.filter((field) => !field.fields && !grouped(field)).sort((a, b) => b.needed - a.needed);
  const groups = tree.filter((field) => field.fields || grouped(field));
  fill(byId("pane-form"),
    el("div", { class: "fields" }, one(offer.fieldAt(request, "/plate/family"), request), ...plain.map((field) => one(field, request))),
    groups.map((field) => group(field, request, 1)),
    el("fieldset", {}, el("legend", {}, "The order"), el("div", { class: "fields" }, AROUND.map((field) => one(field, request)))),
    offer.services() ? group(offer.services(), request, 1) : null,
    name ? null : el("p", { class: "aside" }, "The fields of a plate follow from its kind."));
}

function one(field, request) {
  const shown = control(field, { change });
  controls.push(shown);
  return shown.node;
}

function group(field, request, depth) {
  const inner = grouped(field) ? items(field, request, depth) : [
    el("div", { class: "fields" }, field.fields.filter((each) => !each.fields && !grouped(each)).map((each) => one(each, request))),
    ...field.fields.filter((each) => each.fields || grouped(each)).map((each) => group(each, request, depth + 1)),
  ];
  if (depth === 1) return el("fieldset", {}, el("legend", {}, field.title), inner);
  const open = field.needed || at(request, field.pointer) !== undefined;
  return el("details", { class: "inner", open }, el("summary", {}, field.title), el("fieldset", {}, el("legend", { class: "unseen" }, field.title), inner));
}

function items(field, request, depth) {
  const there = held(field, request);
  const called = (item, index) => `${kind(field, item)?.title ?? field.title} ${index + 1}`;
  const set = (value, label) => store.ask(put(store.current().request, field.pointer, value.length ? value : undefined), label);
  return [
    ...there.map((value, index) => {
      const item = field.item(index, value);
      const title = `${kind(field, value)?.title ?? field.title}, ${index + 1}`;
      const inner = item.fields ? group({ ...item, title }, request, depth + 1) : one(item, request);
      return el("div", { class: "item" }, inner, el("button", {
        type: "button", class: "quiet", "data-key": `${item.pointer}-out`,
        on: { click: () => set(there.filter((__, place) => place !== index), `${called(value, index)} taken out`) },
      }, `Take out ${called(value, index).toLowerCase()}`));
    }),
    ...(field.variants.length ? field.variants : [null]).map((variant) => {
      const title = variant?.title ?? field.title;
      const fresh = variant ? { [variant.told]: variant.tag } : field.item(0).fields ? {} : "";
      return el("button", {
        type: "button", "data-key": `${field.pointer}-add${variant ? `-${variant.tag}` : ""}`,
        on: { click: () => set([...held(field, store.current().request), fresh], `${title} added`) },
      }, `Add: ${title.toLowerCase()}`);
    }),
  ];
}

function change(field, value) {
  const { request, unit } = store.current();
  const label = value === undefined ? `${field.title} taken back` : `${field.title}: ${offer.said(request, field.pointer, value, unit)}`;
  store.ask(put(request, field.pointer, value), label, field.pointer);
}
