// When the service does not answer, refuses the key or asks for patience: said in one place, tried again by itself, and
// nothing that was typed is lost.

import * as announce from "./announce.js";
import { onAnswer, sentence } from "./api.js";
import { byId, el, fill } from "./dom.js";

const WAITS = [2, 5, 10, 20];
const TRIED_AGAIN = ["/v1/prices", "/v1/questions", "/v1/families", "/v1/materials", "/v1/access"];
const failing = new Set();
let again = 0;
let failures = 0;
let standing = "";

/** Watch every answer; `retry` asks everything again, `wantKey` brings the field for the key. */
export function watch(retry, wantKey) {
  onAnswer((answer, path) => {
    if (answer.ok || [400, 404, 406, 409, 413, 415, 422, 501].includes(answer.status)) {
      // Another call's success does not end the waiting of one that failed.
      failing.delete(path);
      if (!failing.size) clear();
      return;
    }
    if (TRIED_AGAIN.includes(path)) failing.add(path);
    if (answer.status === 401) refused("The key is not accepted, or one is needed.", "Enter a key", wantKey);
    else if (answer.status === 403) forbidden(answer, path);
    else if (TRIED_AGAIN.includes(path)) wait(answer, retry);
  });
}

function refused(text, button, action) {
  show(`${text} What you entered is kept.`, el("button", { type: "button", on: { click: action } }, button));
}

function forbidden(answer, path) {
  if (["/v1/rate-cards", "/v1/impacts", "/v1/shop-data"].includes(path)) return;
  refused(sentence(answer.problem), "Close", clear);
}

function wait(answer, retry) {
  const seconds = answer.wait ?? WAITS[Math.min(failures, WAITS.length - 1)];
  failures += 1;
  clearTimeout(again);
  const now = () => {
    clearTimeout(again);
    failing.clear();
    retry();
  };
  again = setTimeout(now, seconds * 1000);
  const what = answer.status === 429 ? "The service asks for a pause: too many calls at once."
    : answer.status === 0 ? "The service does not answer." : `The service cannot answer now: ${sentence(answer.problem)}.`;
  show(`${what.replace("..", ".")} What you entered is kept; it is tried again in ${seconds} s.`,
    el("button", { type: "button", on: { click: now } }, "Try now"));
}

function show(text, button) {
  const place = byId("trouble");
  place.hidden = false;
  if (standing !== text) announce.urgently(text);
  standing = text;
  fill(place, el("p", {}, text), button);
}

function clear() {
  if (!standing) return;
  clearTimeout(again);
  failing.clear();
  failures = 0;
  standing = "";
  byId("trouble").hidden = true;
  announce.politely("The service answers again.");
}
