// The page put together: the state to the answers, the answers to what is shown.

import * as address from "./address.js";
import * as announce from "./announce.js";
import * as answers from "./answers.js";
import * as compare from "./compare.js";
import * as finance from "./finance.js";
import * as form from "./form.js";
import * as keys from "./keys.js";
import * as offer from "./offer.js";
import * as papers from "./papers.js";
import * as plate from "./plate.js";
import * as price from "./price.js";
import * as said from "./said.js";
import * as store from "./store.js";
import * as talk from "./talk.js";
import * as tradeoffs from "./tradeoffs.js";
import * as trouble from "./trouble.js";
import { afterPaint, byId } from "./dom.js";
import { tabs } from "./tabs.js";

const KEPT = 200; // ms without a change before the address is written

// The figure is shown before anything else that follows from it.
answers.on("price", price.show);
for (const part of [talk, plate, tradeoffs, compare, papers, finance]) part.begin();
const showPane = tabs(byId("panes"), (pane) => store.look({ pane }));
const showView = tabs(byId("views"), (view) => store.look({ view }));
let keeping = 0;

function controls({ unit, pane, view }) {
  showPane(pane);
  showView(view);
  for (const radio of document.querySelectorAll("#units input")) radio.checked = radio.value === unit;
  byId("undo").disabled = !store.tape().length;
  byId("redo").disabled = !store.canRedo();
}

store.onChange((state, before, why) => {
  controls(state);
  if (why === "begin") talk.restart();
  if (state.request !== before.request || why === "begin") {
    // The price is asked for before anything is shown, so that it is on its way meanwhile.
    answers.refresh(state);
    talk.next();
  } else if (state.unit !== before.unit) {
    talk.next();
    const body = answers.priceable(state.request);
    if (body) answers.draw(body, state.unit);
    if (answers.known.price) plate.show();
  }
  if (state.pane !== before.pane) talk.fault();
  said.show();
  said.showTape();
  form.show();
  price.showRange();
  clearTimeout(keeping);
  keeping = setTimeout(() => address.keep(store.current()), KEPT);
});

answers.on("price", afterPaint(() => { price.showRange(); said.showTape(); said.show(); form.show(); }));
answers.on("tape", said.showTape);
answers.on("questions", () => { talk.next(); said.show(); form.show(); price.showRange(); });
answers.on("faults", () => { form.show(); talk.next(); talk.fault(); said.show(); price.showRange(); });

async function everything() {
  await Promise.all([keys.show(), offer.load()]);
  talk.next();
  store.look({});
  answers.refresh();
}

function step(back) {
  const done = back ? store.undo() : store.redo();
  if (done) announce.politely(`${back ? "Undone" : "Done again"}: ${done.label}`);
}

byId("undo").addEventListener("click", () => step(true));
byId("redo").addEventListener("click", () => step(false));
byId("begin").addEventListener("click", () => { store.begin({ unit: store.current().unit }); byId("typed").focus(); });
byId("units").addEventListener("change", (event) => store.look({ unit: event.target.value }));
document.addEventListener("keydown", (event) => {
  if (event.key.toLowerCase() !== "z" || !(event.ctrlKey || event.metaKey)) return;
  // In a field in which something is typed, the browser's own undo comes first.
  if (event.target.matches("input[type=text], input[type=password]") && event.target.value) return;
  event.preventDefault();
  step(!event.shiftKey);
});
addEventListener("hashchange", () => store.begin(address.opened().state));
addEventListener("pagehide", () => address.keep(store.current()));

trouble.watch(everything, keys.want);
keys.begin(everything);
const { state, broken } = address.opened();
store.begin(state);
if (broken) announce.urgently("The link could not be read; the call begins anew.");
await everything();
