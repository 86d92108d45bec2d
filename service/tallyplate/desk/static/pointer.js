// JSON Pointers (RFC 6901) into requests. Requests are values: a change makes a new one.

export const steps = (pointer) =>
  pointer.split("/").slice(1).map((step) => step.replaceAll("~1", "/").replaceAll("~0", "~"));

export const join = (pointer, step) => `${pointer}/${String(step).replaceAll("~", "~0").replaceAll("/", "~1")}`;

const isObject = (value) => value !== null && typeof value === "object";

/** What stands at a pointer, or undefined. */
export function at(value, pointer) {
  return steps(pointer).reduce((found, step) => (isObject(found) ? found[step] : undefined), value);
}

/** The request with a value at a pointer; missing parents are made as objects, null and undefined take it out. */
export function put(request, pointer, value) {
  return placed(request ?? {}, steps(pointer), value === null ? undefined : value);
}

function placed(from, [step, ...rest], value) {
  const copy = Array.isArray(from) ? [...from] : { ...from };
  const inner = rest.length ? placed(isObject(from[step]) ? from[step] : {}, rest, value) : value;
  if (inner !== undefined && !(rest.length && emptied(inner))) copy[step] = inner;
  else if (Array.isArray(copy) && !rest.length) copy.splice(Number(step), 1);
  else if (Array.isArray(copy)) copy[step] = inner;
  else delete copy[step];
  return copy;
}

const emptied = (value) => isObject(value) && !Array.isArray(value) && Object.keys(value).length === 0;

/** Several changes, as the service states them: pointer to value. */
export const putAll = (request, changes) =>
  changes.reduce((made, [pointer, value]) => put(made, pointer, value), request);

/** Every answer by its pointer; a list is one answer. */
export function leaves(value, pointer = "") {
  if (!isObject(value) || Array.isArray(value)) return [[pointer, value]];
  return Object.entries(value).flatMap(([step, inner]) => leaves(inner, join(pointer, step)));
}
