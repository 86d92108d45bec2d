// What the checks say: errors first, each with what would mend it.

import * as offer from "./offer.js";
import * as store from "./store.js";
import { known } from "./answers.js";
import { el, fill } from "./dom.js";
import { putAll } from "./pointer.js";

const ORDER = ["error", "caution", "note"];
const WORDS = { error: "Cannot be made", caution: "Caution", note: "Note" };

export function show(place) {
  if (!known.price) return;
  const found = [...known.price.findings].sort((a, b) => ORDER.indexOf(a.severity) - ORDER.indexOf(b.severity));
  fill(place,
    el("h2", {}, "Findings"),
    found.length ? el("ul", { class: "findings" }, found.map(item)) : el("p", { class: "aside" }, "Nothing found against it."));
}

function item({ severity, code, pointer, message, source, mend }) {
  const field = pointer ? offer.fieldAt(store.current().request, pointer).title : "";
  return el("li", { class: severity },
    el("p", {}, el("strong", {}, WORDS[severity] ?? severity), field ? ` \u2014 ${field}. ` : " ", `${message}.`.replace(/\.\.$/, ".")),
    el("p", { class: "source" }, source),
    mend ? el("button", { type: "button", "data-key": `mend-${code}`, on: { click: () => apply(mend) } }, `Mend it: ${mend.words}`) : null);
}

/** Make a change that the service proposes, whole. */
function apply({ changes, words }) {
  const pairs = changes.map(({ pointer, value }) => [pointer, value]);
  store.ask(putAll(store.current().request, pairs), `Mended: ${words}`);
}
