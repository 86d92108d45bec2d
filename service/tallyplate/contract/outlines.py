"""Outlines in plan: all that lies within a radius of a core. Lengths are mm.

The core is a point (which makes a circle), a line (a slot) or a polygon (a rectangle with round corners, or any
outline), so that one measure of distance serves all of them.
"""

from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations
from math import hypot, inf, pi, sqrt

from msgspec import Struct

Spot = tuple[float, float]
Side = tuple[Spot, Spot]

Run = tuple[float, float]
"""A stretch along a row: from and to."""

POLYGON = 3
"""Fewest corners of a polygon."""


class Outline(Struct, frozen=True, gc=False):
    """All that lies within `radius` of a `core`: one point, the two ends of a line, or the corners of a polygon."""

    core: tuple[Spot, ...]
    radius: float = 0.0

    @property
    def sides(self) -> Iterator[Side]:
        """The core from corner to corner and back to the first: a line is gone along twice, a point stays."""
        return zip(self.core, (*self.core[1:], self.core[0]), strict=True)

    @property
    def around(self) -> float:
        """Length of the outline: the core's and a circle's (Steiner's formula for a convex core)."""
        return self._core_length + 2 * pi * self.radius

    @property
    def area(self) -> float:
        """Area within: shoelace formula of the core, a strip along it, and a circle (Steiner, for a convex core)."""
        twice = sum([x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in self.sides])
        return abs(twice) / 2 + self._core_length * self.radius + pi * self.radius**2

    @property
    def _core_length(self) -> float:
        return sum([hypot(x2 - x1, y2 - y1) for (x1, y1), (x2, y2) in self.sides])

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, lower, right and upper."""
        xs, ys = [x for x, _ in self.core], [y for _, y in self.core]
        return min(xs) - self.radius, min(ys) - self.radius, max(xs) + self.radius, max(ys) + self.radius

    @property
    def middle(self) -> Spot:
        """The middle of its box."""
        left, lower, right, upper = self.box
        return (left + right) / 2, (lower + upper) / 2

    @property
    def sizes(self) -> tuple[float, ...]:
        """A circle's diameter, a slot's length over all and its width, or the sides of the box about any other."""
        if len(self.core) == 1:
            return (2 * self.radius,)
        if len(self.core) < POLYGON:
            return self._core_length / 2 + 2 * self.radius, 2 * self.radius
        left, lower, right, upper = self.box
        return right - left, upper - lower

    def holds(self, spot: Spot) -> bool:
        """Whether a polygonal core goes around a place (even-odd rule)."""
        x, y = spot
        inside = False
        for (x1, y1), (x2, y2) in self.sides:
            if (y1 > y) != (y2 > y) and x < x1 + (y - y1) * (x2 - x1) / (y2 - y1):
                inside = not inside
        return inside

    def apart(self, spot: Spot) -> float:
        """How far a place is from the outline; less than nothing within it."""
        away = min([_to_side(spot, side) for side in self.sides])
        return (-away if self.holds(spot) else away) - self.radius


def rectangle(left: float, lower: float, right: float, upper: float, corner: float = 0.0) -> Outline:
    """A rectangle whose corners are round; one as round as it is narrow is a slot or a circle."""
    x0, y0, x1, y1 = left + corner, lower + corner, right - corner, upper - corner
    corners = dict.fromkeys(((x0, y0), (x1, y0), (x1, y1), (x0, y1)))
    return Outline(tuple(corners), corner)


def between(one: Outline, other: Outline, within: float) -> float:
    """Least distance of two outlines, 0 or less where they meet; infinite where they are farther apart than `within`.

    Sides are compared whose boxes come so near, so that far ones cost little.
    """
    reach = within + one.radius + other.radius
    if _parted(one.box, other.box, within):
        return inf
    if one.holds(other.core[0]) or other.holds(one.core[0]):
        return -one.radius - other.radius
    theirs = [(side, _box(side)) for side in other.sides]
    nearest = inf
    for side in one.sides:
        box = _box(side)
        near = [_between_sides(side, beside) for beside, around in theirs if not _parted(box, around, reach)]
        nearest = min([nearest, *near])
    return nearest - one.radius - other.radius


def inset(spot: Spot, length: float, width: float, corner: float = 0.0) -> float:
    """How far within the edge of a box with round corners a place lies; less than nothing outside."""
    across, up = min(spot[0], length - spot[0]), min(spot[1], width - spot[1])
    if across < corner and up < corner:
        return corner - hypot(corner - across, corner - up)
    return min(across, up)


def farthest(outline: Outline, spot: Spot) -> float:
    """How far an outline reaches from a place: to its farthest corner and the radius beyond."""
    return max(hypot(x - spot[0], y - spot[1]) for x, y in outline.core) + outline.radius


def crossing(core: Sequence[Spot]) -> tuple[int, int] | None:
    """Two sides of a polygon, by their first corners, that meet elsewhere than in a corner that they share."""
    sides = list(Outline(tuple(core)).sides)
    boxes, last = list(map(_box, sides)), len(sides) - 1
    for (first, side), (second, other) in combinations(enumerate(sides), 2):
        if second - first in {1, last}:
            met = _folded(side, other) if second - first == 1 else _folded(other, side)
        else:
            met = not _parted(boxes[first], boxes[second], 0.0) and _between_sides(side, other) == 0
        if met:
            return first, second
    return None


def _folded(side: Side, following: Side) -> bool:
    """Whether a side goes back along the one before it, or nowhere."""
    (a, b), (_, c) = side, following
    forth = (b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1])
    return b == c or (_turn(a, b, c) == 0 and forth < 0)


def _parted(one: tuple[float, ...], other: tuple[float, ...], by: float) -> bool:
    return one[0] - other[2] > by or other[0] - one[2] > by or one[1] - other[3] > by or other[1] - one[3] > by


def _box(side: Side) -> tuple[float, float, float, float]:
    (x1, y1), (x2, y2) = side
    return min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2)


def _to_side(spot: Spot, side: Side) -> float:
    (x1, y1), (x2, y2) = side
    along, up = x2 - x1, y2 - y1
    square = along * along + up * up
    share = ((spot[0] - x1) * along + (spot[1] - y1) * up) / square if square else 0.0
    share = min(1.0, max(0.0, share))
    return hypot(spot[0] - x1 - share * along, spot[1] - y1 - share * up)


def _turn(one: Spot, two: Spot, three: Spot) -> float:
    return (two[0] - one[0]) * (three[1] - one[1]) - (two[1] - one[1]) * (three[0] - one[0])


def _between_sides(side: Side, other: Side) -> float:
    """Distance of two straight lines: nothing where each has an end on either side of the other."""
    a, b = side
    c, d = other
    if _turn(a, b, c) * _turn(a, b, d) < 0 and _turn(c, d, a) * _turn(c, d, b) < 0:
        return 0.0
    return min(_to_side(c, side), _to_side(d, side), _to_side(a, other), _to_side(b, other))


def runs(outline: Outline, heights: Sequence[float], distance: float) -> dict[int, list[Run]]:
    """For rows at rising, evenly spaced heights: the stretches nearer to an outline than a distance, from left on.

    Work by the rows that each side comes near to, whatever lies between.
    """
    reach, found = outline.radius + distance, dict[int, list[Run]]()
    crossed: dict[int, list[float]] = {}
    for side in outline.sides:
        (_, y1), (_, y2) = side
        low, high = min(y1, y2), max(y1, y2)
        for row in _rows(heights, low - reach, high + reach):
            if run := _near_side(side, heights[row], reach):
                found.setdefault(row, []).append(run)
        for row in _rows(heights, low, high):
            if (y1 > heights[row]) != (y2 > heights[row]):
                crossed.setdefault(row, []).append(_at_height(side, heights[row]))
    for row, places in crossed.items():
        places.sort()
        found.setdefault(row, []).extend(zip(places[::2], places[1::2], strict=True))
    return {row: list(_joined(stretches)) for row, stretches in sorted(found.items())}


def _rows(heights: Sequence[float], low: float, high: float) -> range:
    """The rows between two heights, with one to spare at either end."""
    step = heights[1] - heights[0] if len(heights) > 1 else 1.0
    first, last = int((low - heights[0]) / step) - 1, int((high - heights[0]) / step) + 2
    return range(max(0, first), min(len(heights), last + 1))


def _at_height(side: Side, y: float) -> float:
    (x1, y1), (x2, y2) = side
    return x1 + (y - y1) * (x2 - x1) / (y2 - y1)


def _near_side(side: Side, y: float, reach: float) -> Run | None:
    """What of a row lies within reach of a straight line: about its ends, and between its parallels."""
    xs = []
    for x0, y0 in side:
        if abs(y - y0) <= reach:
            half = sqrt(reach * reach - (y - y0) ** 2)
            xs += [x0 - half, x0 + half]
    (x1, y1), (x2, y2) = side
    if long := hypot(x2 - x1, y2 - y1):
        dx, dy = -(y2 - y1) / long * reach, (x2 - x1) / long * reach
        corners = (x1 + dx, y1 + dy), (x2 + dx, y2 + dy), (x2 - dx, y2 - dy), (x1 - dx, y1 - dy)
        xs += [_at_height(one, y) for one in Outline(corners).sides if (one[0][1] > y) != (one[1][1] > y)]
    return (min(xs), max(xs)) if xs else None


def _joined(stretches: Iterable[Run]) -> Iterator[Run]:
    """Stretches that meet, as one."""
    start, end = inf, -inf
    for first, last in sorted(stretches):
        if first > end > -inf:
            yield start, end
            start, end = first, last
        else:
            start, end = min(start, first), max(end, last)
    if end > -inf:
        yield start, end
