// The view of the plate: drawn, weighed, and its price in lines.

import * as facts from "./facts.js";
import * as findings from "./findings.js";
import * as lines from "./lines.js";
import { known, on } from "./answers.js";
import { afterPaint, byId, el } from "./dom.js";
import { drawing } from "./drawing.js";

let parts = null;

export function begin() {
  const [picture, list, found, table] = [el("div"), el("dl", { class: "facts" }), el("section", { class: "part" }), el("section", { class: "part" })];
  byId("view-plate").append(el("div", { class: "plate" }, el("div", {}, picture, found), list, table));
  const drawn = drawing(picture);
  on("schedule", () => drawn.update(known.schedule));
  parts = { list, table, found };
  on("price", afterPaint(show));
}

/** What stands below the drawing. */
export function show() {
  facts.show(parts.list);
  lines.show(parts.table);
  findings.show(parts.found);
}
