// The price: what it is as things stand, what the last change did to it, and the range that it may still move in.

import * as announce from "./announce.js";
import * as store from "./store.js";
import { known, supposed } from "./answers.js";
import { byId, say } from "./dom.js";
import { change, isZero, minus, money, roughly } from "./figures.js";
import * as offer from "./offer.js";

const NOTHING = "\u00a0";

export function show() {
  const { price, before } = known;
  if (!price) return;
  const total = money(price.total);
  say(byId("total"), total);
  say(byId("currency"), price.currency);
  const count = price.quantity === 1 ? "One plate" : `${price.quantity.toLocaleString("en")} plates, ${money(price.unit_price)} each`;
  const { request } = store.current();
  const guessed = supposed(request).map((pointer) => offer.fieldAt(request, pointer).title.toLowerCase());
  say(byId("each"), guessed.length ? `${count}, supposing ${listed(guessed)}` : count);
  const moved = before ? minus(price.total, before.total) : "";
  const step = store.tape().at(-1);
  const by = step?.request === known.priced ? step.label : "";
  say(byId("moved"), moved ? (isZero(moved) ? `${by}${by ? ": " : ""}no change` : `${change(moved)} ${by ? `by ${by}` : "since"}`) : NOTHING);
  byId("moved").classList.toggle("less", moved.startsWith("-"));
  announce.politely(`${total} ${price.currency}${moved && !isZero(moved) ? `, ${change(moved)}` : ""}`);
}

const listed = (names) => (names.length > 3 ? `${names.length} answers` : names.join(", "));

/** The range, from the questions; it lags a moment behind the price, and says so by being paler. */
export function showRange() {
  const { questions, price, asked, refused } = known;
  const { request } = store.current();
  byId("price").classList.toggle("lags", Boolean(refused) || asked !== request);
  byId("price").classList.toggle("stale", Boolean(refused));
  if (refused) {
    say(byId("between"), price ? "The price is that of the last complete entry." : "There is a price once what is refused is put right.");
    return;
  }
  if (!questions) return;
  const { lowest, highest, currency, usual } = questions.price;
  if (lowest === highest) say(byId("between"), "This is the figure: nothing that is open can move it.");
  else say(byId("between"), `Still between ${roughly(lowest)} and ${roughly(highest)} ${currency}`);
  scale(Number(lowest), Number(highest), Number(price?.total ?? usual));
}

/** The bar: on a scale of factors, of which one from a hundredth to a hundred times the price is shown. */
function scale(lowest, highest, now) {
  const place = (amount) => Math.min(1, Math.max(0, 0.5 + Math.log10(Math.max(amount, 0.01) / Math.max(now, 0.01)) / 4));
  const [from, to] = [place(lowest), place(highest)];
  byId("range-bar").style.insetInlineStart = `${from * 100}%`;
  byId("range-bar").style.inlineSize = `${Math.max(0, to - from) * 100}%`;
}
