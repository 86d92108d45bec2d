// What a screen reader is told: prices once they have settled, errors once typing has paused.

import { byId, say } from "./dom.js";

const PAUSE = 600;
const timers = {};

function later(id, text) {
  clearTimeout(timers[id]);
  timers[id] = setTimeout(() => {
    say(byId(id), "");
    requestAnimationFrame(() => say(byId(id), text));
  }, PAUSE);
}

/** Say something when there is a pause. */
export const politely = (text) => later("said-politely", text);

/** Say what is wrong. */
export const urgently = (text) => later("said-urgently", text);
