// The whole state in the address, and as a draft in this browser. The part of an address behind # is not sent to any
// server, so that what a customer asks for stands in no log.

import { leaves, put } from "./pointer.js";
import { START } from "./store.js";

const DRAFT = "tallyplate.desk.draft";
const BESIDE = "beside";
const LOOKS = ["unit", "view", "pane"];
const ALLOWED = { unit: ["mm", "in"], pane: ["talk", "form"] };

const escape = (text) => encodeURIComponent(text).replaceAll("%2F", "/").replaceAll("%20", "+");
const plain = (text) => decodeURIComponent(text.replaceAll("+", " "));
const shown = (value) => (typeof value === "string" && !value.startsWith("~") ? value : `~${JSON.stringify(value)}`);
const read = (text) => (text.startsWith("~") ? JSON.parse(text.slice(1)) : text);

/** The state as the part of an address behind #. */
export function fragment(state) {
  const pairs = LOOKS.filter((name) => state[name] !== START[name]).map((name) => [name, state[name]]);
  for (const [prefix, request] of [["", state.request], [BESIDE, state.beside]]) {
    if (request) pairs.push(...leaves(request).filter(([pointer]) => pointer).map(([at, value]) => [prefix + at, shown(value)]));
  }
  return pairs.map(([key, value]) => `${escape(key)}=${escape(value)}`).join("&");
}

/** The state that a fragment says; null where it cannot be read. */
export function parsed(text) {
  const state = { ...START };
  try {
    for (const pair of text.split("&").filter(Boolean)) {
      const [key, value] = pair.split(/=(.*)/s).map(plain);
      if (key.startsWith("/")) state.request = put(state.request, key, read(value));
      else if (key.startsWith(`${BESIDE}/`)) state.beside = put(state.beside ?? {}, key.slice(BESIDE.length), read(value));
      else if (LOOKS.includes(key) && (ALLOWED[key] ?? [value]).includes(value)) state[key] = value;
    }
  } catch {
    return null;
  }
  return state;
}

/** What the page begins with: its address, or else the draft. */
export function opened() {
  const behind = location.hash.slice(1);
  const loaded = parsed(behind || kept());
  return { state: loaded ?? START, broken: loaded === null };
}

/** Put the state into the address and keep it as a draft. */
export function keep(state) {
  const text = fragment(state);
  if (text !== location.hash.slice(1)) history.replaceState(null, "", text ? `#${text}` : location.pathname);
  try {
    localStorage.setItem(DRAFT, text);
  } catch {
    // A browser that keeps nothing still has the address.
  }
}

function kept() {
  try {
    return localStorage.getItem(DRAFT) ?? "";
  } catch {
    return "";
  }
}
