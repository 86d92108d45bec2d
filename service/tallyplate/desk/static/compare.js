// Two plates side by side: one is set aside, the other is the plate at hand; the difference line by line.

import * as offer from "./offer.js";
import * as store from "./store.js";
import { call, sentence } from "./api.js";
import { priceable } from "./answers.js";
import { byId, el, fill } from "./dom.js";
import { drawing } from "./drawing.js";
import { change, isZero, money } from "./figures.js";
import { whileShown } from "./slow.js";

export function begin() {
  const [says, difference] = [el("div", { class: "row" }), el("div")];
  const places = [el("div"), el("div")];
  const names = ["The plate set aside", "The plate at hand"];
  byId("view-beside").append(says, el("div", { class: "halves" },
    places.map((place, index) => el("section", { class: "part" }, el("h2", {}, names[index]), place))), difference);
  const drawn = places.map((place, index) => drawing(place, { name: names[index] }));

  whileShown("beside", async (request) => {
    buttons(says);
    const { beside, unit } = store.current();
    for (const place of places) place.hidden = !beside;
    const [a, b] = [beside && priceable(beside), priceable(request)];
    if (!beside || !b) {
      fill(difference, el("p", { class: "aside" }, "Set the plate at hand aside, then change it: both stand here, with what differs, line by line."));
      return;
    }
    const [answer] = await Promise.all([call("comparison", "/v1/comparisons", { body: { a, b } }), ...[a, b].map(async (body, index) => {
      const found = await call(`beside-${index}`, "/v1/hole-schedules", { body: { ...body, schedule: { unit } } });
      if (found?.ok) drawn[index].update(found.data);
    })]);
    if (!answer) return;
    if (answer.ok) show(difference, answer.data, unit);
    else fill(difference, el("p", { class: "aside" }, `No comparison: ${sentence(answer.problem)}`));
  });
}

function buttons(place) {
  const { request, beside } = store.current();
  const button = (key, words, action) => el("button", { type: "button", "data-key": key, on: { click: action } }, words);
  fill(place,
    button("aside", beside ? "Set this plate aside instead" : "Set this plate aside", () => store.look({ beside: request })),
    beside ? button("swap", "Change places", () => { store.look({ beside: request }); store.ask(beside, "The plates change places"); }) : null,
    beside ? button("alone", "Put it away", () => store.look({ beside: null })) : null);
}

function show(place, { specs, comparison, a, b }, unit) {
  const { request, beside } = store.current();
  // A field of the other's family is known by that family.
  const title = (pointer) => {
    const [own, other] = [request, beside].map((of) => offer.fieldAt(of, pointer));
    return (own.schema ? own : other).title;
  };
  const said = (pointer, value) => (value === null ? "\u2014" : offer.said(request, pointer, value, unit));
  const lines = comparison.lines.filter((line) => !isZero(line.difference));
  fill(place,
    el("p", { class: "verdict", role: "status" }, isZero(comparison.difference) ? "They cost the same."
      : `The plate at hand is ${money(comparison.difference.replace("-", ""))} ${comparison.currency} ${comparison.difference.startsWith("-") ? "cheaper" : "dearer"} (${change(comparison.percent)} %).`),
    table("What is asked differently", ["", "Set aside", "At hand"], specs.map((one) =>
      [title(one.pointer), said(one.pointer, one.a), said(one.pointer, one.b)])),
    table(`The difference by line, ${comparison.currency}`, ["", "Set aside", "At hand", "Difference"],
      lines.map((one) => [one.item, money(one.a), money(one.b), change(one.difference)]),
      ["Total", money(a.total), money(b.total), change(comparison.difference)]));
}

/** A table with its heading; figures stand to the right. */
export function table(title, head, rows, foot = null) {
  const cell = (text, index) => (index ? el("td", { class: "figure" }, text) : el("th", { scope: "row" }, text));
  return el("section", { class: "part" }, el("h2", {}, title), rows.length || foot
    ? el("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": title }, el("table", {},
      el("thead", {}, el("tr", {}, head.map((text, index) => (text ? el("th", { scope: "col", class: index ? "figure" : null }, text) : el("td"))))),
      el("tbody", {}, rows.map((row) => el("tr", {}, row.map(cell)))),
      foot ? el("tfoot", {}, el("tr", {}, foot.map(cell))) : null))
    : el("p", { class: "aside" }, "Nothing."));
}
