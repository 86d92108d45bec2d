// What has been said, what was assumed, and what is still open: anything may be taken back or asked next.

import * as offer from "./offer.js";
import * as store from "./store.js";
import * as talk from "./talk.js";
import { known, supposed, worth } from "./answers.js";
import { byId, el, fill } from "./dom.js";
import { change, money } from "./figures.js";
import { leaves, put } from "./pointer.js";

const title = (pointer) => offer.fieldAt(store.current().request, pointer).title;

/** Take an answer back; it is open again, and then as usual. */
export function takeBack(pointer, thenAsk = false) {
  store.ask(put(store.current().request, pointer, undefined), `${title(pointer)} taken back`);
  if (thenAsk) talk.putFirst(pointer);
}

export function show() {
  const { request, unit } = store.current();
  const given = leaves(request).filter(([pointer]) => pointer);
  const items = given.map(([pointer, value]) => el("li", {},
    el("span", { class: "what" }, title(pointer)),
    el("span", { class: "value" }, offer.said(request, pointer, value, unit)),
    el("button", {
      type: "button", class: "quiet", "data-key": pointer, "aria-label": `Take back: ${title(pointer)}`,
      on: { click: () => takeBack(pointer) },
    }, "take back")));
  fill(byId("said"), items.length ? items : el("li", { class: "aside" }, "Nothing yet."));
  fill(byId("open"), talk.stillOpen().filter((one) => one.pointer !== talk.leading()).map((one) => openItem(one, request, unit)));
}

/** A question that waits, with what stands for its answer meanwhile: assumed, and shown as that. */
function openItem({ pointer, usual, decides, supposed: stands }, request, unit) {
  const value = assumed(pointer) ?? usual ?? stands;
  const bare = value === undefined || pointer === "/budget" || pointer === "/need_by";
  return el("li", {},
    el("button", { type: "button", class: "what link", "data-key": pointer, on: { click: () => talk.putFirst(pointer) } }, title(pointer)),
    el("span", { class: "value assumed" }, bare ? "not said" : offer.said(request, pointer, value, unit),
      bare ? null : el("small", {}, supposed(request).includes(pointer) ? "supposed" : "assumed")),
    el("span", { class: "figure soft", title: "Decides up to" }, Number(decides) ? money(decides) : ""));
}

const assumed = (pointer) => known.price?.assumed.find((one) => one.pointer === pointer)?.value;

/** The steps of the call, the last first, each with what it did to the price. */
export function showTape() {
  const steps = [...store.tape()].reverse();
  fill(byId("tape"), steps.length
    ? steps.map((step) => [step.label, worth(step)]).map(([label, { total, difference }]) => el("li", {},
      el("span", { class: "what" }, label),
      el("span", { class: "figure soft" }, difference ? change(difference) : ""),
      el("span", { class: "figure" }, total ? money(total) : "")))
    : el("li", { class: "aside" }, "Each change is noted here, with what it did to the price."));
}
