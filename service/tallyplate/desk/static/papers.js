// What can be sent: the quote, drawings, schedules, each as the service writes it; and this page on paper.

import * as announce from "./announce.js";
import * as offer from "./offer.js";
import * as store from "./store.js";
import { call, faults, sentence } from "./api.js";
import { supposed } from "./answers.js";
import { byId, el, say } from "./dom.js";

const XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";

const PAPERS = [
  ["Quote", "/v1/quotes", [["PDF", "application/pdf"], ["page", "text/html"], ["UBL XML", "application/xml"], ["CSV", "text/csv"], ["JSON with its signature", "application/json"]]],
  ["Drawing", "/v1/drawings", [["SVG", "image/svg+xml"], ["DXF", "image/vnd.dxf"]]],
  ["Hole schedule", "/v1/hole-schedules", [["XLSX", XLSX], ["CSV", "text/csv"], ["JSON", "application/json"]]],
];

const CUSTOMER = [["customer", "Customer", "Whom the quote is for."], ["reference", "Their reference", "As it shall stand on the quote."]];
const PARTICULARS = "tallyplate.desk.customer";

export function begin() {
  const says = el("p", { class: "note", role: "status" });
  const inputs = CUSTOMER.map(([name]) => el("input", { id: name, type: "text", maxlength: "120", autocomplete: "off", "aria-describedby": `${name}-says ${name}-wrong` }));
  const wrongs = CUSTOMER.map(([name]) => el("p", { class: "wrong", id: `${name}-wrong`, hidden: true }));
  const kept = JSON.parse(sessionStorage.getItem(PARTICULARS) ?? "[]");
  inputs.forEach((input, index) => {
    input.value = kept[index] ?? "";
    input.addEventListener("input", () => sessionStorage.setItem(PARTICULARS, JSON.stringify(inputs.map((one) => one.value))));
  });
  const fetchPaper = async (path, accept, words) => {
    const body = request(path, inputs.map((one) => one.value.trim()));
    const missing = missingFrom(path, body);
    wrongs.forEach((one) => { one.hidden = true; });
    if (missing) { tell(missing, says); return; }
    say(says, `Making the ${words}.`);
    const answer = await call(`paper ${path} ${accept}`, path, { body, accept, raw: true });
    if (!answer) return;
    if (answer.ok) {
      save(answer.data, words);
      tell(`The ${words} is in your downloads.`, says);
      return;
    }
    const found = faults(answer.problem);
    [["/quote/customer/name", 0], ["/quote/reference", 1]].forEach(([pointer, index]) => {
      say(wrongs[index], found.get(pointer) ?? "");
      wrongs[index].hidden = !found.has(pointer);
    });
    tell(`No ${words}: ${sentence(answer.problem)}`, says);
  };
  byId("view-papers").append(
    el("div", { class: "fields" }, CUSTOMER.map(([name, title, hint], index) =>
      el("div", { class: "field" }, el("label", { for: name }, title), inputs[index], wrongs[index], el("p", { class: "says", id: `${name}-says` }, hint)))),
    ...PAPERS.map(([title, path, kinds]) => el("section", { class: "part" }, el("h2", {}, title), el("p", { class: "row" }, kinds.map(([kind, accept]) =>
      el("button", { type: "button", on: { click: () => fetchPaper(path, accept, `${title.toLowerCase()} as ${kind}`) } }, kind))))),
    el("section", { class: "part" }, el("h2", {}, "This page"), el("p", { class: "row" },
      el("button", { type: "button", on: { click: () => print() } }, "Print"),
      el("button", { type: "button", on: { click: () => copy(says) } }, "Copy the link to this call"))),
    says);
}

function request(path, [name, reference]) {
  const { request: asked, unit } = store.current();
  if (path === "/v1/drawings") return { ...asked, drawing: { unit } };
  if (path === "/v1/hole-schedules") return { ...asked, schedule: { unit } };
  return { ...asked, quote: { customer: { name }, ...(reference ? { reference } : {}) } };
}

/** A paper binds, so nothing on it is supposed. */
function missingFrom(path, body) {
  const guessed = supposed(body).map((pointer) => offer.fieldAt(body, pointer).title.toLowerCase());
  if (guessed.length) return `Not yet said: ${guessed.join(", ")}. A paper is not written on a guess.`;
  return path === "/v1/quotes" && !body.quote.customer.name ? "Say whom the quote is for." : "";
}

function tell(text, place) {
  say(place, text);
  announce.politely(text);
}

function save({ blob, name }, words) {
  const address = URL.createObjectURL(blob);
  const link = el("a", { href: address, download: name ?? words.replaceAll(" ", "-") });
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}

async function copy(says) {
  try {
    await navigator.clipboard.writeText(location.href);
    tell("The link is copied.", says);
  } catch {
    tell("The browser does not let it be copied; the address of this page is the link.", says);
  }
}
