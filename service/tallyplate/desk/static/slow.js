// Answers that are only asked for while somebody looks at their view: each once a state, when it has been quiet.

import * as store from "./store.js";
import { known, on } from "./answers.js";

const QUIET = 60;
const PATIENCE = 1500;

/** Ask by `ask(request)` while `view` is shown, whenever there is a new price; answers a function that asks now. */
export function whileShown(view, ask) {
  let done = null;
  let timer = 0;
  const consider = () => {
    clearTimeout(timer);
    const { request, view: shown, unit, beside } = store.current();
    const of = JSON.stringify([request, unit, beside]);
    if (shown !== view || of === done) return;
    // The questions come first: they lead the talk, and the service thinks of one thing at a time.
    timer = setTimeout(() => { done = of; ask(request); }, known.asked === request ? QUIET : PATIENCE);
  };
  on("price", consider);
  on("questions", consider);
  store.onChange(consider);
  return () => { done = null; consider(); };
}
