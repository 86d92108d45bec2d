// The lines of the price: what each is, what it rests on, and what the last change did to it.

import { known } from "./answers.js";
import { el, fill } from "./dom.js";
import { change, isZero, minus, money, sum } from "./figures.js";

/** Every line with its basis; in the form for customers, what each kind of work sells for. */
export function show(place) {
  const { price, before } = known;
  if (!price) return;
  const inside = price.lines.some((line) => "basis" in line);
  const was = before ? amounts(before.lines) : null;
  const seen = new Set();
  const rows = price.lines.map((line) => {
    const name = `${line.module ?? ""} ${line.item}`;
    const first = !seen.has(name);
    seen.add(name);
    const moved = was && first ? minus(amounts(price.lines).get(name), was.get(name) ?? "0") : "";
    return row(line, inside, moved);
  });
  fill(place,
    el("h2", {}, "The lines"),
    el("table", { class: "lines" },
      el("thead", {}, el("tr", {}, el("th", { scope: "col" }, "Item"),
        inside ? el("th", { scope: "col", class: "wide" }, "Basis") : null,
        inside ? el("th", { scope: "col", class: "wide figure" }, "Quantity \u00d7 rate") : null,
        el("th", { scope: "col", class: "figure" }, price.currency))),
      el("tbody", {}, rows),
      el("tfoot", {}, el("tr", {}, el("th", { scope: "row" }, "Total"), inside ? el("td", { class: "wide", colspan: "2" }) : null,
        el("td", { class: "figure" }, money(price.total))))));
}

function row({ item, quantity, unit, rate, amount, basis }, inside, moved) {
  const product = inside ? `${quantity} ${unit} \u00d7 ${money(rate)}` : null;
  return el("tr", {},
    el("th", { scope: "row" }, item, basis ? el("small", { class: "narrow" }, basis) : null,
      product ? el("small", { class: "narrow" }, product) : null),
    inside ? el("td", { class: "wide basis" }, basis) : null,
    inside ? el("td", { class: "wide figure soft" }, product) : null,
    el("td", { class: "figure" }, money(amount), moved && !isZero(moved) ? el("small", {}, change(moved)) : null));
}

function amounts(lines) {
  const found = new Map();
  for (const { module = "", item, amount } of lines) {
    const name = `${module} ${item}`;
    found.set(name, sum([found.get(name) ?? "0", amount]));
  }
  return found;
}
