// How kinds of hole look. A kind that is not known here looks like the plain one.

const LOOKS = { combination: "combination", tapped: "tapped", locating: "locating", holding: "holding", pin: "pin" };

export const lookOf = (kind) => LOOKS[kind] ?? "plain";

/** A circle as part of a path. */
export const ring = (x, y, r) => `M${x - r} ${y}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0`;
