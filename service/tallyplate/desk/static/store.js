// The state of the page: what is asked for, and how it is looked at. Everything else on the page follows from it.

const MOST_STEPS = 200;

export const START = { request: {}, unit: "mm", view: "plate", pane: "talk", beside: null };

let state = START;
let past = [];
let future = [];
const listeners = [];

export const current = () => state;
/** The steps of the call: what was changed, and the request after it. */
export const tape = () => past;
export const canRedo = () => future.length > 0;

export const onChange = (listener) => listeners.push(listener);

function become(next, why) {
  const before = state;
  state = next;
  for (const listener of listeners) listener(state, before, why);
}

/** Look at it otherwise: unit, view, pane, the plate beside. */
export const look = (changes) => become({ ...state, ...changes }, "look");

/** Ask for something else. Typing on in one field is one step. */
export function ask(request, label, field = "") {
  if (JSON.stringify(request) === JSON.stringify(state.request)) return;
  const last = past.at(-1);
  if (field && last?.field === field && !last.closed) past[past.length - 1] = { ...last, label, request };
  else past = [...past, { label, field, before: state.request, request }].slice(-MOST_STEPS);
  future = [];
  become({ ...state, request }, "ask");
}

/** What was typed in a field stands; what is typed next is a step of its own. */
export function close() {
  if (past.length) past[past.length - 1] = { ...past.at(-1), closed: true };
}

export function undo() {
  const last = past.at(-1);
  if (!last) return null;
  past = past.slice(0, -1);
  future = [...future, last];
  become({ ...state, request: last.before }, "undo");
  return last;
}

export function redo() {
  const next = future.at(-1);
  if (!next) return null;
  future = future.slice(0, -1);
  past = [...past, next];
  become({ ...state, request: next.request }, "redo");
  return next;
}

/** Begin with a state from elsewhere: an address, a draft, or nothing. */
export function begin(loaded) {
  past = [];
  future = [];
  become({ ...START, ...loaded }, "begin");
}
