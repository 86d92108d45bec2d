// The trade-offs: the price as curves, plates within a budget, and what each choice is worth.

import * as budget from "./budget.js";
import * as curves from "./curves.js";
import * as offer from "./offer.js";
import * as store from "./store.js";
import { call, sentence } from "./api.js";
import { priceable } from "./answers.js";
import { byId, el, fill } from "./dom.js";
import { change, money } from "./figures.js";
import { putAll } from "./pointer.js";
import { whileShown } from "./slow.js";
import { length, reading } from "./units.js";

export function begin() {
  const [drawn, spent, worth] = ["curves", "part", "part"].map((name) => el("section", { class: name }));
  drawn.append(el("p", { class: "aside" }, "The curves are drawn as soon as there is a price."));
  byId("view-tradeoffs").append(el("h2", {}, "Price against pitch, thickness and quantity"), drawn, spent, worth);
  budget.begin(spent);
  whileShown("tradeoffs", async (request) => {
    const body = priceable(request);
    if (!body) return;
    const answer = await call("effects", "/v1/effects", { body });
    if (!answer) return;
    if (!answer.ok) {
      fill(drawn, el("p", { class: "aside" }, `No curves: ${sentence(answer.problem)}`));
      return;
    }
    curves.show(drawn, answer.data, store.current().unit, (value, pointer) => take({ [pointer]: value }, "From the curve"));
    choices(worth, answer.data);
  });
}

/** Make changes as the service states them. */
function take(changes, why) {
  const { request, unit } = store.current();
  const said = Object.entries(changes).map(([pointer, value]) =>
    `${offer.fieldAt(request, pointer).title}: ${offer.said(request, pointer, value, unit)}`);
  store.ask(putAll(request, Object.entries(changes)), said.join(", ") || why);
}

/** Each answer of the plate with what stands beside it. */
function choices(place, { effects }) {
  const titles = [...new Set(effects.filter((one) => one.total).map((one) => one.title))];
  fill(place, el("h2", {}, "What each choice is worth"), el("dl", { class: "worth" }, titles.map((title) => el("div", {},
    el("dt", {}, title),
    el("dd", {}, el("ul", {}, effects.filter((one) => one.total && one.title === title).map(choice)))))));
}

function choice({ title, pointer, words, neighbour, changes, total, difference, can_be_made: made }) {
  const said = length(neighbour) ? reading(neighbour, store.current().unit) : words.replace(`${title.toLowerCase()}: `, "");
  return el("li", {},
    el("button", {
      type: "button", class: "link", "data-key": `${pointer}=${neighbour}`, "aria-label": `${title}: ${said}`, on: { click: () => take(changes) },
    }, said, made ? null : el("small", {}, " cannot be made")),
    el("span", { class: "figure soft" }, change(difference)),
    el("span", { class: "figure" }, money(total)));
}
