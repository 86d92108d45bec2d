// What is on offer, as the service says it once; and the words that it has used for answers, by field.

import { call } from "./api.js";
import * as schema from "./schema.js";
import { length, reading } from "./units.js";
import { at, leaves } from "./pointer.js";

let families = [];
let materials = [];
let served = null;
const trees = new Map();
const words = new Map();

/** Ask for families and materials; answers the first refusal, or null. */
export async function load() {
  const answers = await Promise.all([
    call("families", "/v1/families"), call("materials", "/v1/materials"), call("schemas", "/openapi.json"),
  ]);
  if (answers.includes(null)) return null;
  const [offered, stuff, published] = answers;
  if (offered.ok) families = offered.data;
  if (stuff.ok) materials = stuff.data;
  if (published.ok) served = schema.services(published.data.components.schemas);
  trees.clear();
  return answers.find((answer) => !answer.ok) ?? null;
}

export const allFamilies = () => families;
export const family = (request) => families.find((one) => one.name === at(request, "/plate/family"));

/** The tree of fields of the family that is asked for. */
export function tree(request) {
  const found = family(request);
  if (!found) return [];
  if (!trees.has(found.name)) trees.set(found.name, schema.fields(found));
  return trees.get(found.name);
}

/** The group of services around the plates; null until the service has said what they are. */
export const services = () => served;

const FAMILY = { pointer: "/plate/family", title: "Kind of plate", kind: "choice", description: "" };

export const fieldAt = (request, pointer) =>
  pointer === FAMILY.pointer ? FAMILY : schema.fieldAt([...tree(request), ...(served ? [served] : [])], pointer);

/** Pointers of answers that were chosen from a list, and for which the service's own words are not known. */
export const unheard = (request) => leaves(request).filter(([pointer, value]) =>
  pointer && fieldAt(request, pointer).schema?.enum && !heard(words.get(pointer), value)).map(([pointer]) => pointer);

/** Remember the choices of a question, so that answers that are given can be changed and named. */
export function learn(questions) {
  for (const { pointer, choices, range } of questions) {
    const known = words.get(pointer) ?? new Map();
    for (const { value, words: said } of choices ?? range?.tried ?? []) known.set(JSON.stringify(value), { value, said });
    words.set(pointer, known);
  }
}

/** What a field may be, as far as is known: [{value, said}]. */
export function choices(request, field) {
  if (field.pointer === FAMILY.pointer) return families.map(({ name, title }) => ({ value: name, said: title }));
  const material = materials.find((one) => one.name === at(request, "/plate/material"));
  if (field.pointer === "/plate/material") return materials.map(({ name, title }) => ({ value: name, said: title }));
  if (field.pointer === "/plate/finish" && material) return material.finishes.map((value) => ({ value, said: plain(value) }));
  const known = words.get(field.pointer);
  if (field.kind === "choice") return field.schema.enum.map((value) => ({ value, said: heard(known, value) ?? plain(value) }));
  if (field.kind === "yes_no") return [true, false].map((value) => ({ value, said: value ? "yes" : "no" }));
  return [...(known?.values() ?? [])];
}

const heard = (known, value) => known?.get(JSON.stringify(value))?.said;
const plain = (value) => String(value).replaceAll("_", " ").replaceAll("-", " ");

/** An answer in words, its length read in a unit. */
export function said(request, pointer, value, unit) {
  if (value === undefined || value === null) return "nothing";
  if (length(value)) return reading(value, unit);
  const field = fieldAt(request, pointer);
  const found = choices(request, field).find((one) => JSON.stringify(one.value) === JSON.stringify(value));
  if (found) return found.said;
  if (Array.isArray(value)) return value.map((one) => (typeof one === "object" ? objectSaid(one, unit) : plain(one))).join(", ") || "none";
  if (field.kind === "counts") return counted(value);
  return typeof value === "boolean" ? (value ? "yes" : "no") : String(value);
}

/** How many of each, as "M12: 10, M16: 4". */
export const counted = (value) =>
  (typeof value === "object" ? Object.entries(value).map(([name, count]) => `${name}: ${count}`).join(", ") : String(value));

const objectSaid = (value, unit) =>
  Object.values(value).map((one) => (length(one) ? reading(one, unit) : String(one))).join(" \u00d7 ");
