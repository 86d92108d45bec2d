// The question that leads: in words to be read out, answered by choice or by typing.

import * as announce from "./announce.js";
import * as offer from "./offer.js";
import * as store from "./store.js";
import { known } from "./answers.js";
import { byId, el, fill, say } from "./dom.js";
import { change, minus, money } from "./figures.js";
import { best, meant } from "./meaning.js";
import { at, put } from "./pointer.js";
import { length, reading } from "./units.js";

const FAMILY = "/plate/family";
const READ = 1000; // ms after which a question has been read
const left = new Set();
let lead = null;
let wanted = null;
let active = -1;
let options = [];
let since = 0;
let settled = false;

const typed = () => byId("typed");

export function begin() {
  byId("talk").addEventListener("submit", (event) => { event.preventDefault(); answerTyped(); });
  typed().addEventListener("input", () => { active = best(typed().value, options, field()); show(); });
  typed().addEventListener("keydown", onKey);
  byId("leave").addEventListener("click", leave);
}

/** Leave the question open; it is as usual then, and stays in the list of what is open. */
function leave() {
  if (lead?.mends) {
    const { request } = store.current();
    typed().value = "";
    active = -1;
    store.ask(put(request, lead.pointer, undefined), `${offer.fieldAt(request, lead.pointer).title} taken back`);
    return;
  }
  left.add(lead?.pointer);
  lead = null;
  wanted = null;
  typed().value = "";
  active = -1;
  next();
  typed().focus();
}

/** Forget what was left open and what was half typed: another call begins. */
export function restart() {
  left.clear();
  wanted = null;
  lead = null;
  active = -1;
  typed().value = "";
}

/** Put a question first; one that is answered is taken back by whoever asks for it. */
export function putFirst(pointer) {
  wanted = pointer;
  left.delete(pointer);
  typed().value = "";
  next();
  typed().focus();
}

/** The open questions in the order in which they are asked, without what has been answered since. */
export function stillOpen() {
  const { request } = store.current();
  const open = (known.questions?.open ?? greeting(request)).filter((one) => at(request, one.pointer) === undefined);
  return [...open.filter((one) => !left.has(one.pointer)), ...open.filter((one) => left.has(one.pointer))];
}

/** Until the service has thought of its first questions, what every call begins with. */
function greeting(request) {
  const choices = offer.choices(request, offer.fieldAt(request, FAMILY)).map(({ value, said }) => ({ value, words: said }));
  return choices.length ? [{ pointer: FAMILY, question: "What kind of plate is it to be?", why: "", needed: true, choices, decides: "1", currency: "" }] : [];
}

export const leading = () => lead?.pointer;

/** Whether the service refuses the state as it stands. */
const refused = () => known.refused !== null && known.judged === store.current().request;

/** The question of what is refused, which is asked again before any other; null where it is no single answer. */
function mending() {
  const { request } = store.current();
  const [pointer] = known.faults.keys();
  if (pointer === undefined) return null;
  const of = offer.fieldAt(request, pointer);
  const asked = known.questions?.open.find((one) => one.pointer === pointer);
  if (!asked && (["object", "list"].includes(of.kind) || (of.kind === "text" && !of.schema))) return null;
  const choices = asked?.choices ?? asked?.range?.tried ?? offer.choices(request, of);
  return {
    pointer, mends: true, needed: true, range: asked?.range,
    // Where nothing was said, it is what is usual that is refused.
    usual: at(request, pointer) === undefined ? undefined : asked?.usual,
    question: asked?.question ?? `What is to stand for \u201c${of.title}\u201d instead?`, why: asked?.why ?? of.description,
    // What each of them came to is no longer so.
    choices: choices.length ? choices.map(({ value, words: heard, said }) => ({ value, words: heard ?? said })) : undefined,
  };
}

/** Whether the refusal comes before the questions: somebody may still ask for one, or finish what is half typed. */
const waits = () => refused() && !wanted && (!typed().value || lead?.mends);

/** Show the question that leads now; while somebody types an answer to one that is open, it stays. */
export function next() {
  // Until new questions are here, those that decide no money are not worth asking.
  const fresh = known.asked === store.current().request;
  const open = stillOpen().filter((one) => fresh || Number(one.decides) || one.pointer === wanted);
  const stays = held() ? lead?.pointer : null;
  const found = waits() ? mending() : open.find((one) => one.pointer === (wanted ?? stays)) ?? open.find((one) => !left.has(one.pointer));
  if (found?.pointer !== lead?.pointer) {
    active = -1;
    typed().value = "";
    since = performance.now();
    settled = false;
  }
  settled ||= fresh || wanted === found?.pointer || Boolean(found?.mends);
  byId("talk").classList.toggle("unsure", Boolean(found) && !settled);
  lead = found ?? null;
  options = lead?.choices ?? lead?.range?.tried ?? [];
  show();
}

/** Whether somebody is at the question: it is not changed under them, once there was time to read it. */
function held() {
  if (typed().value || active >= 0) return true;
  return byId("talk").contains(document.activeElement) && (settled || performance.now() - since > READ);
}

const field = () => offer.fieldAt(store.current().request, lead?.pointer ?? "");

function onKey(event) {
  if (event.key === "Escape") { typed().value = ""; active = -1; show(); }
  const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
  if (!step || !options.length) return;
  event.preventDefault();
  active = active < 0 ? (step > 0 ? 0 : options.length - 1) : (active + step + options.length) % options.length;
  show();
}

function answerTyped() {
  if (!lead) return;
  const text = typed().value.trim();
  const value = active >= 0 ? options[active].value : text ? meant(text, field(), store.current().unit, lead) : lead.usual;
  if (!text && active < 0 && (value === undefined || value === null) && !lead.needed) {
    leave();
    return;
  }
  if (value === undefined) {
    const needs = text ? `\u201c${text}\u201d is none of the answers.` : "This one needs an answer.";
    say(byId("typed-note"), needs);
    announce.urgently(needs);
    return;
  }
  answer(value);
}

function answer(value) {
  const { request, unit } = store.current();
  const { pointer } = lead;
  wanted = null;
  typed().value = "";
  active = -1;
  const label = `${offer.fieldAt(request, pointer).title}: ${offer.said(request, pointer, value, unit)}`;
  store.ask(put(request, pointer, value), label);
  typed().focus();
}

/** What the service refuses is said at the question, unless a field of the form says it. */
export function fault() {
  const { pane, request } = store.current();
  const [first] = known.faults;
  const place = byId("talk-wrong");
  const said = first ? `${offer.fieldAt(request, first[0]).title}: ${first[1]}` : known.refused ?? "";
  const text = pane === "talk" ? said : "";
  if (text && place.textContent !== text) announce.urgently(text);
  say(place, text);
  place.hidden = !text;
}

function show() {
  const { unit } = store.current();
  if (!lead) {
    const done = known.questions && known.asked === store.current().request;
    say(byId("decides"), refused() ? "Refused" : done ? "Nothing is open" : "\u00a0");
    say(byId("question"), refused() ? "Something that was said has to be changed."
      : done ? "That is all I need to know." : known.unanswered ? "The service has not answered." : "One moment.");
    say(byId("why"), done && !refused() ? "Anything may be taken back; what was left open is as usual." : "");
  } else {
    say(byId("decides"), decides());
    say(byId("question"), lead.question);
    say(byId("why"), lead.why);
  }
  byId("leave").disabled = !lead || (lead.mends && at(store.current().request, lead.pointer) === undefined);
  say(byId("typed-note"), lead ? note(unit) : "");
  typed().setAttribute("aria-activedescendant", active >= 0 ? `choice-${active}` : "");
  fill(byId("choices"), options.map((one, index) => option(one, index, unit)));
}

function decides() {
  if (lead.mends) return "Refused";
  if (!known.questions) return "\u00a0";
  const [whole] = lead.decides.split(".");
  return Number(whole) ? `Decides up to ${money(lead.decides)} ${lead.currency}` : "Decides no money";
}

function note(unit) {
  const text = typed().value.trim();
  const value = text && active < 0 ? meant(text, field(), unit, lead) : undefined;
  if (value !== undefined) return `Enter answers ${offer.said(store.current().request, lead.pointer, value, unit)}${other(value, unit)}`;
  if (text && active < 0) return "None of the answers so far";
  if (active >= 0) return `Enter answers ${words(options[active], unit)}`;
  const range = lead.range ? `From ${reading(lead.range.least, unit)}${lead.range.greatest ? ` to ${reading(lead.range.greatest, unit)}` : ""}. ` : "";
  if (lead.usual === undefined || lead.usual === null) return `${range}${lead.needed ? "Type a few letters, or use the arrow keys" : "Enter alone leaves it open"}`;
  return `${range}Enter alone answers as usual: ${offer.said(store.current().request, lead.pointer, lead.usual, unit)}`;
}

const other = (value, unit) => (length(value) ? `, which is ${reading(value, unit === "mm" ? "in" : "mm")}` : "");
const words = ({ value, words: said }, unit) => (length(value) ? reading(value, unit) : said);

function option(one, index, unit) {
  const cannot = lead.impossible?.find(({ value }) => JSON.stringify(value) === JSON.stringify(one.value));
  const usual = JSON.stringify(one.value) === JSON.stringify(lead.usual ?? lead.supposed);
  const base = known.questions?.price.usual;
  return el("li", {
    role: "option", id: `choice-${index}`, "aria-selected": String(index === active),
    class: cannot ? "cannot" : null, on: { click: () => answer(one.value) },
  },
  el("span", { class: "words" }, words(one, unit), usual ? el("small", {}, lead.usual === undefined ? "supposed" : "usual") : null),
  el("span", { class: "figure" }, one.total ? money(one.total) : known.questions && !lead.mends ? "no price" : ""),
  el("span", { class: "figure soft" }, one.total && base ? change(minus(one.total, base)) : ""),
  cannot ? el("span", { class: "because" }, `Cannot be made: ${cannot.why}`) : null);
}
