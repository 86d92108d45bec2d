// Elements by plain DOM calls. Text of others only ever becomes text nodes, never markup.

const SVG = "http://www.w3.org/2000/svg";

/** An element: attributes, listeners under `on`, and children, of which strings become text and null nothing. */
export function el(tag, attributes = {}, ...children) {
  return made(document.createElement(tag), attributes, children);
}

/** The same for a drawing. */
export function svg(tag, attributes = {}, ...children) {
  return made(document.createElementNS(SVG, tag), attributes, children);
}

function made(node, { on = {}, ...attributes }, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === true) node.setAttribute(name, "");
    else if (value !== false && value !== null && value !== undefined) node.setAttribute(name, value);
  }
  for (const [event, listener] of Object.entries(on)) node.addEventListener(event, listener);
  node.append(...children.flat().filter((child) => child !== null && child !== undefined && child !== false));
  return node;
}

export const byId = (id) => document.getElementById(id);

/** Replace what a node holds; whoever had the focus by `data-key` has it again, or else the node itself. */
export function fill(node, ...children) {
  const focused = document.activeElement;
  const held = node !== focused && node.contains(focused) ? focused.dataset.key ?? "" : null;
  node.replaceChildren(...children.flat().filter((child) => child !== null && child !== undefined && child !== false));
  if (held === null) return;
  const again = [...node.querySelectorAll("[data-key]")].find((one) => one.dataset.key === held);
  if (!again && !node.hasAttribute("tabindex")) node.setAttribute("tabindex", "-1");
  (again ?? node).focus({ preventScroll: true });
}

/** Set text only where it differs, so that nothing is said or laid out twice. */
export function say(node, text) {
  if (node.textContent !== text) node.textContent = text;
}

/** What can wait until the screen has been painted; of several calls meanwhile, one is made. */
export function afterPaint(work) {
  let waits = false;
  return () => {
    if (waits) return;
    waits = true;
    requestAnimationFrame(() => setTimeout(() => { waits = false; work(); }));
  };
}
