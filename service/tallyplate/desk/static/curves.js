// The price as curves, the present plate marked. A point is read by pointer or arrow keys, and taken by a click or Enter.

import { el, fill, svg } from "./dom.js";
import { money, roughly } from "./figures.js";
import { length, reading } from "./units.js";

const SIZE = { width: 270, height: 180, left: 48, right: 10, top: 14, bottom: 30 };

/** Every curve of an answer, lengths in the unit in use; `take(value, pointer)` makes a point the present plate. */
export function show(place, { curves, currency, quantity }, unit, take) {
  fill(place, curves.map((one) => chart(one, currency, quantity, unit, take)));
}

function chart({ name, title, unit: counted, pointer, points }, currency, quantity, unit, take) {
  const each = name === "quantity";
  const priced = points.filter((point) => point.total)
    .map((point) => ({ ...point, x: Number(point.at), amount: each ? point.unit_price : point.total }));
  if (!priced.length) return null;
  const [x, y] = [scale(priced.map((point) => point.x), SIZE.left, SIZE.width - SIZE.right, each),
    scale(priced.map((point) => Number(point.amount)), SIZE.height - SIZE.bottom, SIZE.top)];
  const place = (point) => [x(point.x), y(Number(point.amount))];
  const present = priced.findIndex((point) => point.present);
  const said = (point) => length(point.value) ? reading(point.value, unit) : `${point.value} ${point.value === 1 ? counted.replace(/s$/, "") : counted}`;
  const read = (point) => `${said(point)}: ${money(point.amount)} ${currency}${point.can_be_made ? "" : ", cannot be made"}`;
  const caption = el("p", { class: "caption", role: "status" }, present >= 0 ? read(priced[present]) : "");
  const cursor = svg("circle", { r: 5, class: "cursor", visibility: "hidden" });
  const what = each ? "a plate" : quantity === 1 ? "for one plate" : `for ${quantity} plates`;
  const picture = svg("svg", { viewBox: `0 0 ${SIZE.width} ${SIZE.height}`, role: "img", "aria-label": `Price by ${title.toLowerCase()}`, focusable: "false" },
    axes(priced, x, y, each, each ? (point) => String(point.value) : said),
    svg("path", { class: "curve", d: priced.map((point, index) => `${index ? "L" : "M"}${place(point).join(" ")}`).join("") }),
    priced.map((point) => dot(point, place(point))),
    cursor);
  let at = present;
  const point = (index) => {
    at = index;
    const [cx, cy] = place(priced[at]);
    for (const [key, value] of Object.entries({ cx, cy, visibility: "visible" })) cursor.setAttribute(key, value);
    caption.textContent = read(priced[at]);
  };
  const use = () => at >= 0 && !priced[at].present && take(priced[at].value, pointer);
  const frame = el("div", {
    class: "chart", tabindex: "0", role: "application", "data-key": `curve-${name}`,
    "aria-label": `Price by ${title.toLowerCase()}. Arrow keys read it, Enter takes a point.`,
    on: {
      keydown: (event) => {
        const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
        if (event.key === "Enter") use();
        if (step) { event.preventDefault(); point(Math.min(priced.length - 1, Math.max(0, at + step))); }
      },
      pointermove: (event) => {
        const spot = new DOMPoint(event.clientX, event.clientY).matrixTransform(picture.getScreenCTM().inverse());
        const away = priced.map((one) => Math.abs(x(one.x) - spot.x));
        point(away.indexOf(Math.min(...away)));
      },
      click: use,
    },
  }, picture);
  return el("figure", {}, el("figcaption", {}, el("strong", {}, title), ` ${currency} ${what}`), frame, caption);
}

function dot(point, [cx, cy]) {
  const kind = point.present ? "present" : point.can_be_made ? "dot" : "dot cannot";
  return svg("circle", { cx, cy, r: point.present ? 5 : 2.2, class: kind });
}

function axes(points, x, y, ratio, said) {
  const amounts = points.map((point) => Number(point.amount));
  const floor = SIZE.height - SIZE.bottom;
  const ticks = nice(Math.min(...amounts), Math.max(...amounts));
  const ends = ratio ? spread(points) : [points[0], points.at(-1)];
  return [
    ticks.map((tick) => [
      svg("line", { x1: SIZE.left, x2: SIZE.width - SIZE.right, y1: y(tick), y2: y(tick), class: "rule" }),
      svg("text", { x: SIZE.left - 6, y: y(tick) + 4, class: "tick end" }, roughly(tick.toFixed(0))),
    ]).flat(),
    ends.map((point, index) => svg("text", { x: x(point.x), y: floor + 18, class: `tick ${index === 0 ? "start" : index === ends.length - 1 ? "end" : ""}` }, said(point))),
  ].flat();
}

/** First, last, and one between, where quantities are shown by ratio. */
const spread = (points) => [points[0], points[Math.floor(points.length / 2)], points.at(-1)].filter((one, index, all) => all.indexOf(one) === index);

function scale(values, from, to, ratio = false) {
  const by = ratio ? Math.log : (value) => value;
  const [least, most] = [Math.min(...values), Math.max(...values)].map(by);
  const span = most - least || 1;
  return (value) => from + ((by(value) - least) / span) * (to - from);
}

/** At most five round figures between two. */
function nice(least, most) {
  const span = most - least || least || 1;
  const power = 10 ** Math.floor(Math.log10(span / 3));
  const step = [1, 2, 5, 10].map((one) => one * power).find((one) => span / one <= 4) ?? span;
  const found = [];
  for (let tick = Math.ceil(least / step) * step; tick <= most && found.length < 6; tick += step) found.push(tick);
  return found;
}
