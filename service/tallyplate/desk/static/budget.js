// The budget typed in, and the plates within it: each in a sentence, each to be taken.

import * as offer from "./offer.js";
import * as store from "./store.js";
import { call, faults, sentence } from "./api.js";
import { known, priceable } from "./answers.js";
import { el, fill, say } from "./dom.js";
import { change, money } from "./figures.js";
import { at, put, putAll } from "./pointer.js";
import { whileShown } from "./slow.js";

const AT_A_TIME = 6;

export function begin(place) {
  const input = el("input", { id: "budget", type: "text", inputmode: "decimal", autocomplete: "off", "aria-describedby": "budget-says budget-wrong" });
  const says = el("p", { class: "says", id: "budget-says" }, "For the whole order, such as 3800.");
  const wrong = el("p", { class: "wrong", id: "budget-wrong", hidden: true });
  const found = el("div");
  place.append(el("h2", {}, "Within a budget"),
    el("div", { class: "field" }, el("label", { for: "budget" }, "Budget"), input, wrong, says), found);
  const show = () => {
    const value = at(store.current().request, "/budget");
    if (document.activeElement !== input) input.value = value ?? "";
  };
  input.addEventListener("input", () => {
    const typed = input.value.trim().replaceAll(",", "");
    const value = /^\d+(\.\d+)?$/.test(typed) && known.price ? `${typed} ${known.price.currency}` : typed;
    store.ask(put(store.current().request, "/budget", value || undefined), value ? `Budget: ${value}` : "Budget taken back", "/budget");
  });
  input.addEventListener("blur", () => { store.close(); show(); });
  store.onChange(show);
  show();
  whileShown("tradeoffs", async (request) => {
    const body = priceable(request);
    if (!body?.budget) {
      fill(found, el("p", { class: "aside" }, "Type what the customer can spend, and the plates that it buys are listed."));
      return;
    }
    fill(found, el("p", { class: "aside", role: "status" }, "Looking through the plates that this budget buys."));
    const answer = await call("alternatives", "/v1/alternatives", { body });
    if (!answer) return;
    const fault = answer.ok ? "" : faults(answer.problem).get("/budget") ?? sentence(answer.problem);
    say(wrong, fault);
    wrong.hidden = !fault;
    input.setAttribute("aria-invalid", String(Boolean(fault)));
    if (answer.ok) list(found, answer.data);
  });
}

function list(place, { alternatives, nothing_fits: nothing, examined, possible }) {
  if (nothing) {
    const { cheapest, drivers, sentence: said } = nothing;
    fill(place, el("p", {}, said), cheapest ? el("ul", { class: "front" }, item(cheapest)) : null,
      drivers?.length ? el("p", { class: "aside" }, `Most of it: ${drivers.map((one) => `${one.name} ${money(one.amount)}`).join(", ")}`) : null);
    return;
  }
  // What changes least is the easiest to say on the telephone; of those, what holds work at most places.
  const sorted = [...alternatives].sort((a, b) => a.changes.length - b.changes.length || b.positions - a.positions);
  const rest = [...sorted];
  const front = el("ul", { class: "front" });
  const more = el("button", { type: "button", "data-key": "more", on: { click: () => next() } });
  const next = () => {
    front.append(...rest.splice(0, AT_A_TIME).map(item));
    more.hidden = !rest.length;
    say(more, `Show ${Math.min(AT_A_TIME, rest.length)} more of ${rest.length}`);
  };
  next();
  fill(place, el("p", { class: "aside", role: "status" },
    `${sorted.length} to choose from, of ${possible} that can be made; ${examined} were looked at. The fewest changes come first.`), front, more);
}

function item({ sentence: said, total, difference, changes }) {
  const take = () => {
    const { request, unit } = store.current();
    const label = changes.map(({ pointer, to }) => `${offer.fieldAt(request, pointer).title}: ${offer.said(request, pointer, to, unit)}`);
    store.ask(putAll(request, changes.map(({ pointer, to }) => [pointer, to])), label.join(", ") || "As it is");
  };
  return el("li", {},
    el("p", {}, said),
    el("p", { class: "row" }, el("span", { class: "figure" }, money(total)), el("span", { class: "figure soft" }, change(difference)),
      changes.length ? el("button", { type: "button", "data-key": `take-${total}`, on: { click: take } }, "Take this one") : el("small", {}, "as it stands")));
}
