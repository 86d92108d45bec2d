// Which hole is meant: by the pointer, or by an arrow key from the last.

/** The place in the list of the hole nearest to a spot; -1 where none is within reach. */
export function nearest(holes, x, y, reach) {
  let [found, least] = [-1, reach * reach];
  holes.forEach((hole, index) => {
    const away = (hole.x - x) ** 2 + (hole.y - y) ** 2;
    if (away < least) [found, least] = [index, away];
  });
  return found;
}

/** The next hole in a direction: near, and more ahead than aside. Where there is none, the same. */
export function towards(holes, from, [dx, dy]) {
  const start = holes[from];
  let [found, least] = [from, Infinity];
  holes.forEach((hole, index) => {
    const ahead = (hole.x - start.x) * dx + (hole.y - start.y) * dy;
    const aside = Math.abs((hole.x - start.x) * dy) + Math.abs((hole.y - start.y) * dx);
    const away = ahead + 3 * aside;
    if (ahead > 1e-6 && aside <= ahead && away < least) [found, least] = [index, away];
  });
  return found;
}
