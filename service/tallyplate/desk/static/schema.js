// What can be answered, read from the JSON Schema of a family: a tree of fields. No family is known by name here.

import { join, steps } from "./pointer.js";

const DEEPEST = 6;
const UNIT = "(um|mm|cm|m|in|ft)$";

/** Answers around the plate, which no family states. */
export const AROUND = [
  { pointer: "/quantity", title: "Quantity", kind: "integer", description: "Plates in the order." },
  { pointer: "/need_by", title: "Needed by", kind: "date", description: "A date, such as 2026-12-08." },
  { pointer: "/as_of", title: "Rates as of", kind: "date", description: "The date whose rates apply; usually today." },
];

const BUDGET = { pointer: "/budget", title: "Budget", kind: "money", description: "For the order." };

/** The fields of a family's plate, `family` left out. */
export function fields(family) {
  if (!family) return [];
  const { schema } = family;
  return children(schema, "/plate", schema.$defs ?? {}, 0).filter((field) => field.pointer !== "/plate/family");
}

/** The group of what an order asks for beside its plates, from the schemas that the service publishes. */
export const services = (schemas) =>
  field(schemas.Services, "/services", { defs: schemas, depth: 0, name: "services", needed: false });

function children(schema, pointer, defs, depth) {
  const needed = new Set(schema.required ?? []);
  return Object.entries(schema.properties ?? {}).map(([name, one]) =>
    field(one, join(pointer, name), { defs, depth, name, needed: needed.has(name) }));
}

function field(raw, pointer, { defs, depth, name, needed }) {
  const schema = resolved(raw, defs);
  const made = {
    pointer,
    name,
    needed,
    title: raw.title ?? schema.title ?? titled(name),
    description: raw.description ?? schema.description ?? "",
    examples: schema.examples ?? [],
    schema,
    kind: kind(schema),
  };
  if (depth >= DEEPEST) return { ...made, kind: "text" };
  if (made.kind === "object") made.fields = children(schema, pointer, defs, depth + 1);
  if (made.kind === "list") {
    made.variants = variants(schema.items ?? {}, defs);
    made.item = (index, held) =>
      field(ofVariant(made.variants, held) ?? schema.items ?? {}, join(pointer, index),
        { defs, depth: depth + 1, name: String(index + 1), needed: true });
    made.choices = resolved(schema.items ?? {}, defs).enum;
  }
  return made;
}

const titled = (name) => name.charAt(0).toUpperCase() + name.slice(1).replaceAll("_", " ");

/** What an item of a list may be, where its kinds are told apart by a property: the property, its value, the schema. */
function variants(items, defs) {
  const told = items.discriminator?.propertyName;
  return told ? Object.entries(items.discriminator.mapping).map(([tag, $ref]) => {
    const { [told]: _, ...properties } = resolved({ $ref }, defs).properties;
    return { told, tag, title: tag.replaceAll("_", " "), schema: { ...resolved({ $ref }, defs), properties } };
  }) : [];
}

/** The schema of the kind that an item says it is; of an item that says none, all fields that it might have. */
function ofVariant(found, held) {
  if (!found.length) return null;
  const own = found.find((one) => one.tag === held?.[one.told]);
  return own?.schema ?? { type: "object", properties: Object.assign({}, ...found.map((one) => one.schema.properties)) };
}

/** A schema behind references and beside null. */
function resolved(schema, defs) {
  let found = schema;
  for (let turn = 0; turn < DEEPEST && found; turn += 1) {
    if (found.$ref) found = { ...defs[found.$ref.split("/").pop()], ...found, $ref: undefined };
    else if (found.anyOf) found = { ...found.anyOf.find((one) => one.type !== "null"), ...found, anyOf: undefined };
    else if (found.allOf) found = { ...found, ...found.allOf[0], allOf: undefined };
    else break;
  }
  return found ?? {};
}

function kind(schema) {
  if (schema.enum) return "choice";
  if (schema.additionalProperties?.type === "integer") return "counts";
  if (schema.properties || schema.type === "object") return "object";
  if (schema.type === "array") return "list";
  if (schema.type === "boolean") return "yes_no";
  if (schema.type === "integer") return "integer";
  if (schema.type === "number") return "number";
  if ((schema.pattern ?? "").endsWith(UNIT)) return "length";
  return schema.format === "date" ? "date" : "text";
}

/** The field at a pointer, of a family's or around the plate; one that nobody states is taken as text. */
export function fieldAt(tree, pointer) {
  const found = [...AROUND, BUDGET].find((one) => one.pointer === pointer) ?? within(tree, pointer);
  return found ?? { pointer, title: titled(steps(pointer).at(-1) ?? ""), kind: "text", description: "" };
}

function within(tree, pointer) {
  for (const one of tree) {
    if (one.pointer === pointer) return one;
    if (!pointer.startsWith(`${one.pointer}/`)) continue;
    if (one.fields) return within(one.fields, pointer);
    if (one.kind === "counts") return { ...one, pointer, title: `${one.title}, ${steps(pointer).at(-1)}`, kind: "integer" };
    if (one.item) {
      const item = one.item(Number(pointer.slice(one.pointer.length + 1).split("/")[0]));
      return item.pointer === pointer ? item : within(item.fields ?? [], pointer);
    }
  }
  return null;
}

/** The pointers of what must be answered before there is a price; of a group, what it needs. */
export const needed = (tree) => ["/plate/family", ...leavesNeeded(tree)];

const leavesNeeded = (tree) =>
  tree.filter((one) => one.needed).flatMap((one) => (one.fields ? leavesNeeded(one.fields) : [one.pointer]));
