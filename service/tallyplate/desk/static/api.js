// The public interface, spoken to by fetch alone. Every answer is a value; nothing here throws for what a service says.

const KEY = "tallyplate.desk.key";
const lanes = new Map();
const listeners = [];

/** The key of this session; it stands nowhere else, and never in the address. */
export const key = () => sessionStorage.getItem(KEY) ?? "";
export function useKey(text) {
  if (text) sessionStorage.setItem(KEY, text);
  else sessionStorage.removeItem(KEY);
}

/** Told of every answer, so that one place can say what is the matter. */
export const onAnswer = (listener) => listeners.push(listener);

/**
 * Ask the service. A newer call of the same lane ends an older one, which then answers null.
 * Otherwise {ok, status, data, problem, wait}: `status` 0 where nobody answered, `wait` the seconds to wait.
 */
export async function call(lane, path, { body, accept = "application/json", raw = false } = {}) {
  lanes.get(lane)?.abort();
  const ends = new AbortController();
  lanes.set(lane, ends);
  const headers = { accept: raw ? `${accept}, application/problem+json;q=0.1` : accept };
  if (key()) headers.authorization = `Bearer ${key()}`;
  if (body !== undefined) headers["content-type"] = "application/json";
  const content = body === undefined ? undefined : JSON.stringify(body);
  let answer;
  try {
    const method = body === undefined ? "GET" : "POST";
    const response = await fetch(path, { method, headers, body: content, signal: ends.signal, cache: "no-store" });
    answer = await read(response, raw);
  } catch (error) {
    if (error.name === "AbortError") return null;
    answer = { ok: false, status: 0, problem: { title: "The service does not answer" } };
  }
  if (ends.signal.aborted) return null;
  lanes.delete(lane);
  for (const listener of listeners) listener(answer, path);
  return answer;
}

async function read(response, raw) {
  const { status, ok, headers } = response;
  const wait = Number(headers.get("retry-after")) || null;
  if (ok) return { ok, status, data: raw ? await named(response) : await response.json() };
  const isProblem = (headers.get("content-type") ?? "").includes("json");
  const problem = isProblem ? await response.json() : { title: `The service answers ${status}` };
  return { ok, status, problem, wait };
}

async function named(response) {
  const name = /filename="?([^";]+)"?/.exec(response.headers.get("content-disposition") ?? "")?.[1];
  return { blob: await response.blob(), name };
}

/** What is wrong by field, from a refusal; of several a field has, the first. */
export function faults(problem) {
  const found = new Map();
  for (const { pointer, message } of problem?.errors ?? []) if (!found.has(pointer)) found.set(pointer, message);
  return found;
}

/** A problem in a sentence. */
export const sentence = (problem) => problem.detail ?? problem.title ?? "The service says no more.";
