// Finance's view, for keys that may see rates: the card in force, what changed since the last, and a draft card tried on
// a portfolio.

import * as store from "./store.js";
import { call, faults, sentence } from "./api.js";
import { priceable } from "./answers.js";
import { byId, el, fill, say } from "./dom.js";
import { table } from "./compare.js";
import { portfolio } from "./portfolio.js";
import { change, day, isZero, money } from "./figures.js";
import { whileShown } from "./slow.js";

export function begin() {
  const [cards, figures, since, tried] = [el("section"), el("section"), el("section"), el("section", { class: "part" })];
  byId("view-finance").append(cards, figures, since);
  byId("view-finance").append(tried);
  trial(tried);
  return whileShown("finance", async (request) => {
    const answer = await call("cards", "/v1/rate-cards");
    if (!answer) return;
    if (!answer.ok) {
      fill(cards, el("p", { class: "aside" }, sentence(answer.problem)));
      return;
    }
    const today = new Date().toISOString().slice(0, 10);
    const dated = [...answer.data].sort((a, b) => a.effective_from.localeCompare(b.effective_from));
    const inForce = dated.findLast((card) => card.effective_from <= today);
    fill(cards, table("Rate cards", ["Card", "From", "", "Digest"].map((one) => one || "State"), dated.map((card) =>
      [card.id, day(card.effective_from), card === inForce ? "in force" : card.effective_from > today ? "to come" : "past", card.digest.slice(0, 12)])));
    await otherwise(figures);
    await changed(since, dated[dated.indexOf(inForce) - 1], inForce, priceable(request));
  });
}

/** What the card in force says otherwise than the card before it, figure by figure. */
async function otherwise(place) {
  const answer = await call("otherwise", "/v1/rate-cards/changes");
  if (!answer) return;
  const title = "What the card changed";
  if (!answer.ok) { instead(place, title, sentence(answer.problem)); return; }
  const { a, b, changes } = answer.data;
  if (!a) { instead(place, title, "This is the first card."); return; }
  if (!changes.length) { instead(place, title, `${b.id} changed no figure of ${a.id}.`); return; }
  fill(place, table(title, ["Figure", a.id, b.id, "Change, %"], changes.map((one) =>
    [one.figure, one.a ?? "\u2014", one.b ?? "\u2014", one.percent === null ? "" : change(one.percent)])));
}

/** Words where a table would stand. */
function instead(place, title, words) {
  fill(place, el("section", { class: "part" }, el("h2", {}, title), el("p", { class: "aside" }, words)));
}

/** What the card in force does to the plate at hand, against the card before it. */
async function changed(place, last, inForce, plate) {
  const title = "Since the card before";
  if (!last || !plate) {
    instead(place, title, last ? "Say what plate it is, and it is priced under both cards." : "This is the first card.");
    return;
  }
  const under = (card) => ({ ...plate, pins: { rate_card: card.digest } });
  const answer = await call("since", "/v1/comparisons", { body: { a: under(last), b: under(inForce) } });
  if (!answer) return;
  if (!answer.ok) {
    fill(place, el("p", { class: "aside" }, sentence(answer.problem)));
    return;
  }
  const { comparison } = answer.data;
  fill(place, table(`${title}: the plate at hand, ${comparison.currency}`, ["Line", last.id, inForce.id, "Difference"],
    comparison.lines.filter((line) => !isZero(line.difference)).map((line) => [line.item, money(line.a), money(line.b), change(line.difference)]),
    ["Total", money(comparison.a), money(comparison.b), change(comparison.difference)]));
}

function trial(place) {
  const file = (id, title, hint) => el("div", { class: "field" }, el("label", { for: id }, title),
    el("input", { id, type: "file", accept: ".json,.ndjson,.toml", "aria-describedby": `${id}-says ${id}-wrong` }),
    el("p", { class: "wrong", id: `${id}-wrong`, hidden: true }), el("p", { class: "says", id: `${id}-says` }, hint));
  const found = el("div", { role: "status" });
  const fields = el("div", { class: "fields" },
    file("orders", "Portfolio", "Price requests: a list as JSON, or one a line."),
    file("draft", "Draft card", "A card's file as TOML, or the same as JSON."));
  place.append(el("h2", {}, "A draft card tried on a portfolio"), fields,
    el("p", { class: "row" }, el("button", { type: "button", on: { click: () => attempt(found) } }, "Try it")), found);
}

async function attempt(found) {
  const wrong = (id, text) => { const place = byId(`${id}-wrong`); say(place, text); place.hidden = !text; };
  const read = await portfolio(byId("orders").files[0], byId("draft").files[0]);
  for (const id of ["orders", "draft"]) wrong(id, read.wrong[id] ?? "");
  if (Object.keys(read.wrong).length) return;
  say(found, "Pricing the portfolio under both cards.");
  const answer = await call("impact", "/v1/impacts", { body: read.body });
  if (!answer) return;
  if (answer.ok) { impact(found, answer.data); return; }
  const all = [...faults(answer.problem)].map(([pointer, message]) => `${pointer}: ${message}`);
  wrong(all.some((one) => one.startsWith("/orders")) ? "orders" : "draft", all.join("; ") || sentence(answer.problem));
  fill(found);
}

function impact(place, { in_force: a, draft: b, impact: found }) {
  const moves = (one) => [money(one.a), money(one.b), change(one.difference)];
  const head = [a.id, b.id, "Difference"];
  fill(place,
    el("p", { class: "verdict" }, `${found.priced} of ${found.orders} orders: ${change(found.difference)} ${found.currency} (${change(found.percent)} %).`),
    table("By module", ["Module", ...head], found.modules.map((one) => [one.module, ...moves(one)]), ["Total", ...moves(found)]),
    table("Orders that move most", ["Order", ...head], found.moving_most.map((one) => [String(one.order), ...moves(one.comparison)])),
    found.refused.length ? table("Without a price", ["Order", "Why"], found.refused.map((one) =>
      [String(one.order), one.reasons.map((reason) => `${reason.pointer} ${reason.message}`).join("; ")])) : null);
}

/** Whether the view is there at all. */
export function allow(scopes) {
  const may = scopes === null || scopes.includes("rates");
  byId("tab-finance").hidden = !may;
  if (!may && store.current().view === "finance") store.look({ view: "plate" });
}
