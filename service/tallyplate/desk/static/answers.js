// What the service says to the state of the page: the price at once, then what it is drawn from, then the slower
// answers. Whoever shows something subscribes; outdated answers never arrive.

import * as api from "./api.js";
import * as offer from "./offer.js";
import * as store from "./store.js";
import { minus } from "./figures.js";
import { at, put } from "./pointer.js";
import { needed } from "./schema.js";

const QUIET = 140; // ms without a change before the slower questions are asked

/** What is known: `price` is of `priced`, `questions` of `asked`, `faults` and `refused` of `judged`. */
export const known = {
  price: null, priced: null, before: null, questions: null, asked: null, schedule: null,
  faults: new Map(), refused: null, judged: null, unanswered: false,
};

const prices = new WeakMap();
const sought = new Set();
const listeners = { price: [], questions: [], schedule: [], faults: [], tape: [] };
export const on = (what, listener) => listeners[what].push(listener);
const tell = (what) => listeners[what].forEach((listener) => listener(known));

let quiet = 0;
let turn = 0;

/** The request with what the service supposes for answers that are needed; null while too little is known. */
export function priceable(request) {
  let made = request;
  for (const { pointer, value } of known.questions?.supposed ?? []) {
    if (at(made, pointer) !== undefined) continue;
    if (pointer !== "/plate/family" && !needed(offer.tree(made)).includes(pointer)) continue;
    made = put(made, pointer, value);
  }
  // Until the service has said what its families are, nobody knows what they need.
  return offer.family(made) && needed(offer.tree(made)).every((pointer) => at(made, pointer) !== undefined) ? made : null;
}

/** Pointers that a price rests on though nobody has said them. */
export const supposed = (request) =>
  (known.questions?.supposed ?? []).map((one) => one.pointer).filter((pointer) => at(request, pointer) === undefined);

/** Ask everything about the state as it is now. */
export function refresh({ unit, request } = store.current()) {
  clearTimeout(quiet);
  quiet = setTimeout(() => openQuestions(request), known.questions ? QUIET : 0);
  price(request, unit);
}

async function price(request, unit) {
  const body = priceable(request);
  if (!body) return;
  turn += 1;
  const mine = turn;
  // Older calls are let finish: the tape tells what each step came to.
  const answer = await api.call(`price ${mine}`, "/v1/prices", { body });
  if (answer.ok) prices.set(request, answer.data);
  if (mine !== turn) {
    tell("tape");
    return;
  }
  settle(answer, request);
  if (!answer.ok) return;
  known.before = earlier(request);
  Object.assign(known, { price: answer.data, priced: request });
  tell("price");
  draw(body, unit);
}

/** What a step of the call came to: {total, difference}, as far as is known. */
export function worth({ request, before }) {
  const [now, then] = [prices.get(request), prices.get(before)];
  return { total: now?.total, difference: now && then && now.currency === then.currency ? minus(now.total, then.total) : null };
}

/** The price that a change is measured against: that before the step, however much was typed since. */
function earlier(request) {
  const step = store.tape().at(-1);
  if (known.priced === request) return known.before;
  const found = step?.request === request ? prices.get(step.before) : known.price;
  return found?.currency === known.price?.currency ? found ?? null : null;
}

/** The figures that the drawing is made from, in the unit that is in use. */
export async function draw(body, unit) {
  const answer = await api.call("schedule", "/v1/hole-schedules", { body: { ...body, schedule: { unit } } });
  if (!answer?.ok) return;
  known.schedule = answer.data;
  tell("schedule");
}

async function openQuestions(request) {
  const first = !known.questions;
  const answer = await api.call("questions", "/v1/questions", { body: request });
  if (!answer) return;
  if (!answer.ok) {
    settle(answer, request);
    return;
  }
  Object.assign(known, { questions: answer.data, asked: request });
  offer.learn(answer.data.open);
  if (answer.data.supposed.length || first) price(request, store.current().unit);
  if (!priceable(request)) settle({ ok: true }, request);
  tell("questions");
  if (!store.tape().length) hear(request);
}

/** Learn the service's words for answers that it was never asked about here, as those of an address. */
async function hear(request) {
  const strange = offer.unheard(request).filter((pointer) => !sought.has(pointer));
  if (!strange.length) return;
  strange.forEach((pointer) => sought.add(pointer));
  const answer = await api.call("words", "/v1/questions", { body: strange.reduce((made, pointer) => put(made, pointer, undefined), request) });
  if (!answer?.ok) return;
  offer.learn(answer.data.open);
  tell("questions");
}

function settle(answer, request) {
  known.unanswered = [0, 401, 403, 429].includes(answer.status) || answer.status >= 500;
  if (!known.unanswered) {
    known.faults = answer.ok ? new Map() : api.faults(answer.problem);
    known.refused = answer.ok ? null : api.sentence(answer.problem);
    known.judged = request;
  }
  tell("faults");
}
