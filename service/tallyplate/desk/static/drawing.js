// The plate drawn to scale from the public hole schedule: outline, holes by kind, marking, and the table that it stands
// on. A kind of hole is one path, however many holes it has; the pointer and the arrow keys name the nearest.

import { el, fill, svg } from "./dom.js";
import { nearest, towards } from "./nearby.js";
import { lookOf, ring } from "./symbols.js";

/** Letters of a column, from 1: A to Z, then AA. */
const letters = (n) => (n > 26 ? letters(Math.floor((n - 1) / 26)) : "") + String.fromCharCode(65 + ((n - 1) % 26));

/** A drawing in a place of its own; `update(schedule)` draws another plate, without moving anything around it. */
export function drawing(place, { name = "Plate" } = {}) {
  const picture = svg("svg", { role: "img", focusable: "false" });
  const caption = el("p", { class: "caption", role: "status" });
  const chooser = el("div", { class: "sides", role: "group", "aria-label": "Sides" });
  const frame = el("div", {
    class: "frame", tabindex: "0", role: "application",
    "aria-label": `${name}, drawn to scale. The arrow keys go from hole to hole.`,
  }, picture);
  const legend = el("ul", { class: "legend" });
  place.replaceChildren(el("figure", {}, frame, el("figcaption", {}, caption, legend, chooser)));
  let schedule = null;
  let side = "";
  let holes = [];
  let at = -1;
  let scene = null;

  function draw() {
    const view = schedule.views.find((one) => one.title === side) ?? first(schedule.views);
    side = view.title;
    holes = schedule.holes.filter((hole) => view.faces.includes(hole.face))
      .map((hole) => ({ ...hole, x: Number(hole.x), y: Number(hole.y) }));
    at = -1;
    scene = sceneOf(view, schedule, holes, frame.clientWidth || 600);
    picture.setAttribute("viewBox", scene.box.join(" "));
    picture.setAttribute("aria-label", scene.title);
    picture.replaceChildren(...scene.nodes);
    fill(legend, scene.kinds.map(({ kind, count }) => el("li", { class: lookOf(kind) }, `${count} ${kind.replaceAll("_", " ")}`)));
    fill(chooser, schedule.views.length > 1 ? schedule.views.map((one) => el("button", {
      type: "button", "data-key": one.title, "aria-pressed": String(one.title === side),
      on: { click: () => { side = one.title; draw(); } },
    }, one.title)) : []);
    caption.textContent = scene.title;
  }

  function point(index) {
    at = index;
    const hole = holes[at];
    scene.cursor.replaceChildren();
    if (!hole) { caption.textContent = scene.title; return; }
    const type = schedule.types.find((one) => one.type === hole.type);
    const widest = Math.max(...type.steps.map((step) => Number(step.diameter)));
    scene.cursor.append(svg("path", { d: ring(hole.x, scene.up(hole.y), widest * 0.75 + scene.width / 200), class: "cursor" }));
    const thread = type.steps.find((step) => step.designation)?.designation;
    caption.textContent = [`${hole.name}: ${hole.kind.replaceAll("_", " ")} hole`, thread, ...type.fitted.map((one) => one.replaceAll("_", " ")),
      `x ${hole.x}, y ${hole.y} ${schedule.unit}`].filter(Boolean).join(", ");
  }

  picture.addEventListener("pointermove", (event) => {
    const spot = new DOMPoint(event.clientX, event.clientY).matrixTransform(picture.getScreenCTM().inverse());
    const found = nearest(holes, spot.x, scene.up(spot.y), scene.width / 25);
    if (found !== at) point(found);
  });
  picture.addEventListener("pointerleave", () => scene && point(-1));
  frame.addEventListener("keydown", (event) => {
    const way = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
    if (!way || !holes.length) return;
    event.preventDefault();
    point(at < 0 ? 0 : towards(holes, at, way));
  });
  return {
    update(next) {
      schedule = next;
      draw();
    },
  };
}

const first = (views) => views.find((view) => view.lattice) ?? views[0];

function sceneOf(view, schedule, holes, pixels) {
  const [length, width] = [Number(view.length), Number(view.width)];
  const perPixel = Math.max(length, width * 1.4) / (pixels * 0.86);
  const rim = 34 * perPixel;
  const up = (y) => width - y;
  const cursor = svg("g");
  const kinds = [...new Set(holes.map((hole) => hole.kind))]
    .map((kind) => ({ kind, count: holes.filter((hole) => hole.kind === kind).length }));
  const sizes = view.disc ? `\u00d8 ${view.length}` : `${view.length} \u00d7 ${view.width}`;
  return {
    up, cursor, kinds, width: length,
    title: `${view.title}, ${sizes} ${schedule.unit}: ${holes.length} holes`,
    box: [-rim, -rim, length + 2 * rim, width + 2 * rim],
    nodes: [
      ...table(schedule, holes, { length, width, rim, up, grid: view.faces.includes("top") || view.faces.includes("base") }),
      view.disc ? svg("circle", { cx: length / 2, cy: width / 2, r: length / 2, class: "body" })
        : svg("rect", { x: 0, y: 0, width: length, height: width, rx: view.corner_radius ?? 0, class: "body" }),
      ...(view === schedule.views[0] ? milled(schedule, up) : []),
      ...recesses(schedule, view, up),
      ...zones(view, { up, perPixel }),
      ...patterns(schedule, holes, up),
      ...marking(view, { length, width, up, perPixel }),
      ...overall(view, { length, width, perPixel }),
      cursor,
    ],
  };
}

/** One path for each type of hole: its bores, and the thread as an arc of three quarters. */
function patterns(schedule, holes, up) {
  return schedule.types.map((type) => {
    const own = holes.filter((hole) => hole.type === type.type);
    const bores = type.steps.filter((step) => !step.designation);
    const d = own.map(({ x, y }) => bores.map((step) => ring(x, up(y), Number(step.diameter) / 2)).join("")).join("");
    return svg("path", { d, class: `hole ${lookOf(type.kind)}${own[0]?.face === "bottom" ? " far" : ""}` });
  });
}

/** Milled pockets whose places are settled, such as the seats of keys. */
function recesses({ recesses: all = [] }, view, up) {
  return all.filter((one) => view.faces.includes(one.face)).flatMap(({ at, length, width }) => at.map(([x, y]) =>
    svg("rect", { x: Number(x) - length / 2, y: up(Number(y)) - width / 2, width: length, height: width, class: "hole pin far" })));
}

/** Pockets, slots, cut-outs and areas kept free: each core with a stroke as wide as twice its radius. */
function milled({ milled: all = [], kept_free: free = [] }, up) {
  const shape = ({ core, radius }, look, title) => {
    const d = `M${core.map(([x, y]) => `${x} ${up(Number(y))}`).join("L")}Z`;
    return svg("path", { d, class: look, "stroke-width": 2 * radius, "aria-label": title });
  };
  return [
    ...free.map((outline) => shape(outline, "kept-free", "kept free")),
    ...all.map((one) => shape(one.outline, one.through ? "milled through" : "milled", `${one.kind} ${one.size}`)),
  ];
}

/** The table below: slots through the rows of holding holes, or its grid. */
function table({ table: stands, types }, holes, { length, width, rim, up, grid }) {
  const held = holes.find((hole) => hole.kind === "holding" || types.find((type) => type.type === hole.type)?.mounting);
  const spacing = Number(stands.spacing);
  if (!held || !spacing || !grid) return [];
  const run = (start, from, to) => {
    const found = [];
    for (let at = start - Math.floor((start - from) / spacing) * spacing; at <= to; at += spacing) found.push(at);
    return found;
  };
  const ys = run(held.y, -rim / 2, width + rim / 2);
  if (stands.surface === "t_slots") {
    const slot = Number(stands.slot_width);
    return ys.map((y) => svg("rect", { x: -rim, y: up(y) - slot / 2, width: length + 2 * rim, height: slot, class: "slot" }));
  }
  const xs = run(held.x, -rim / 2, length + rim / 2);
  const size = rim / 6;
  const d = ys.flatMap((y) => xs.map((x) => `M${x - size} ${up(y)}h${2 * size}M${x} ${up(y) - size}v${2 * size}`)).join("");
  return [svg("path", { d, class: "grid" })];
}

/** Zones that have a pattern each, by their numbers. */
function zones({ zones: all = [] }, { up, perPixel }) {
  const size = 10 * perPixel;
  return all.flatMap(({ zone, x, y, length, width }) => {
    const [left, top] = [Number(x), up(Number(y) + Number(width))];
    return [
      svg("rect", { x: left, y: top, width: length, height: width, class: "zone" }),
      svg("text", { x: left + Number(length) / 2, y: top + size, class: "engraved", "font-size": size }, `Zone ${zone}`),
    ];
  });
}

/** The engraved letters and numbers, along the sides that are marked; as many as there is room for. */
function marking({ lattice, marked }, { length, width, up, perPixel }) {
  if (!lattice) return [];
  const size = 10 * perPixel;
  const out = 9 * perPixel;
  return marked.flatMap((side) => {
    const across = side === "bottom" || side === "top";
    const [start, pitch, count] = across ? [lattice.x, lattice.pitch_x, lattice.columns] : [lattice.y, lattice.pitch_y, lattice.rows];
    const every = [1, 2, 5, 10, 20, 50, 100].find((one) => one * Number(pitch) > size * 1.6) ?? 200;
    const found = [];
    for (let place = 0; place < count; place += every) {
      const along = Number(start) + place * Number(pitch);
      const [x, y] = across ? [along, side === "bottom" ? width + out : -out] : [side === "left" ? -out : length + out, up(along)];
      found.push(svg("text", { x, y, class: "engraved", "font-size": size }, across ? letters(place + 1) : String(place + 1)));
    }
    return found;
  });
}

/** The size over all, above and on the right. */
function overall(view, { length, width, perPixel }) {
  const [away, size] = [24 * perPixel, 12 * perPixel];
  const nodes = [svg("text", { x: length / 2, y: -away, class: "size", "font-size": size }, view.disc ? `\u00d8 ${view.length}` : view.length)];
  if (!view.disc) {
    const [x, y] = [length + away, width / 2];
    nodes.push(svg("text", { x, y, class: "size", "font-size": size, transform: `rotate(-90 ${x} ${y})` }, view.width));
  }
  return nodes;
}
