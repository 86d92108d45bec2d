"""Dimensions: a line between arrows with its figure, and places told from one corner."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import Final

from msgspec import Struct

from tallyplate.documents.drawings.shapes import BEFORE, NORMAL, SMALL, Area, Line, Shape, Spot, Text, breadth

LAYER: Final = "DIMENSIONS"
GAP: Final = 1.0
"""Between an outline and an extension line, and between a line and the figure on it, in mm."""
OVERSHOOT: Final = 1.5
ARROW: Final = 2.5
STEEP: Final = 0.45
"""Half the width of an arrowhead."""
TAIL: Final = 4.0
BETWEEN: Final = 3.4
"""Least distance in mm between the figures of places."""


class Look(Struct, frozen=True):
    """How a dimension stands: along the vertical, and where its figure goes that has no room between the arrows.

    Such a figure follows the `after` end, or comes before the other, `tail` mm away. A `level` figure of a vertical
    dimension stands on its left and reads across.
    """

    upright: bool = False
    after: bool = True
    tail: float = TAIL
    level: bool = False
    height: float = NORMAL


LYING: Final = Look()
UPRIGHT: Final = Look(upright=True, after=False)


def dimension(ends: Spot, base: float, at: float, words: str, look: Look = LYING) -> Iterator[Shape]:
    """A dimension between two places along one axis; its line stands `at` on the other, its extensions begin at `base`.

    Where there is no room between, the figure is made smaller, or else put outside, and so are the arrows.
    """

    def spot(along: float, across: float) -> Spot:
        return (across, along) if look.upright else (along, across)

    first, last = ends
    away = 1.0 if at > base else -1.0
    for end in ends:
        yield Line(LAYER, spot(end, base + away * GAP), spot(end, at + away * OVERSHOOT))
    within = stands(words, last - first) and not look.level
    height = SMALL if within and breadth(words, look.height) > last - first - GAP else look.height
    outward, wide = last - first < 3 * ARROW, breadth(words, height)
    for end, sign in ((first, 1.0), (last, -1.0)):
        back = end + ARROW * (-sign if outward else sign)
        yield Area(LAYER, (spot(end, at), spot(back, at - STEEP), spot(back, at + STEEP)))
    left, right = (first - TAIL, last + TAIL) if outward else (first, last)
    start = (first + last - wide) / 2
    if look.level:
        at_middle = (first + last - height) / 2
        yield Line(LAYER, spot(left, at), spot(right, at))
        yield Text(LAYER, spot(at_middle, at - GAP), words, height, "end")
        return
    if not within:
        start = last + look.tail if look.after else first - look.tail - wide
        left, right = min(left, start), max(right, start + wide)
    yield Line(LAYER, spot(left, at), spot(right, at))
    side = at - GAP if look.upright else at + GAP
    yield Text(LAYER, spot(start + wide / 2, side), words, height, "middle", 90.0 if look.upright else 0.0)


def interrupted(shapes: Iterable[Shape], figures: Sequence[Text]) -> Iterator[Shape]:
    """Shapes whose level and upright lines stop before a figure and go on behind it."""
    for shape in shapes:
        yield from _pieces(shape, figures) if isinstance(shape, Line) else (shape,)


def _pieces(line: Line, figures: Sequence[Text]) -> list[Line]:
    pieces = [line]
    for figure in figures:
        pieces = [piece for whole in pieces for piece in _beside(whole, _box(figure))]
    return pieces


def _box(figure: Text) -> tuple[Spot, Spot]:
    """What a figure takes across and upward, with a little room about it."""
    (x, y), wide, room = figure.at, breadth(figure.words, figure.height), GAP / 2
    before = wide * BEFORE[figure.anchor]
    if figure.angle:
        return (x - figure.height - room, x + room), (y - before - room, y - before + wide + room)
    return (x - before - room, x - before + wide + room), (y - room, y + figure.height + room)


def _beside(line: Line, box: tuple[Spot, Spot]) -> Iterator[Line]:
    """The pieces of a line that lie outside a box."""
    along = 0 if line.start[1] == line.end[1] else 1
    across = 1 - along
    lower, upper = box[along]
    start, end = sorted((line.start, line.end), key=lambda spot: spot[along])
    within = box[across][0] < start[across] < box[across][1]
    if start[across] != end[across] or not within or end[along] <= lower or start[along] >= upper:
        yield line
        return
    for first, last in ((start[along], lower), (upper, end[along])):
        if first < last:
            ends = [(at, start[across]) if along == 0 else (start[across], at) for at in (first, last)]
            yield Line(line.layer, ends[0], ends[1])


def stands(words: str, span: float) -> bool:
    """Whether a figure, if need be a small one, has room between arrows so far apart."""
    return breadth(words, SMALL) <= span - GAP


def chain(
    edge: float, steps: tuple[float, float, int], base: float, at: float, words: tuple[str, str], look: Look
) -> Iterator[Shape]:
    """How far the first of equal steps is from an edge, and the steps as one; given as start, length and places.

    The figure of steps that has no room within them is a small one.
    """
    first, step, count = steps
    yield from dimension((edge, first), base, at, words[0], look)
    if count > 1:
        last = first + step * (count - 1)
        height = NORMAL if stands(words[1], last - first) else SMALL
        yield from dimension((first, last), base, at, words[1], Look(look.upright, height=height))


def places(
    values: Sequence[tuple[float, str]], base: float, limits: tuple[float, float], *, upright: bool = False
) -> Iterator[Shape]:
    """Distances from a corner, each on a line from its place, at the far side of an outline that ends at `base`.

    Figures that would touch are moved apart along it within the limits; more than it holds are left to the schedule.
    """
    spots = spread([value for value, _ in values], BETWEEN, limits)
    if not spots:
        return
    for (value, words), moved in zip(values, spots, strict=True):
        knees = ((value, base + GAP), (value, base + 3.0), (moved, base + 6.0), (moved, base + 7.5))
        corners = [(across, along) if upright else (along, across) for along, across in knees]
        for start, end in pairwise(corners):
            yield Line(LAYER, start, end)
        half = NORMAL / 2
        at = (base + 8.5, moved - half) if upright else (moved + half, base + 8.5)
        yield Text(LAYER, at, words, NORMAL, "start", 0.0 if upright else 90.0)


def spread(values: Sequence[float], least: float, limits: tuple[float, float]) -> list[float]:
    """Rising places moved no more than needed to be so far apart; empty where they have no room."""
    lower, upper = limits
    if not values or (len(values) - 1) * least > upper - lower:
        return []
    moved: list[float] = []
    for value in values:
        moved.append(max(value, moved[-1] + least) if moved else max(value, lower))
    ceiling = upper
    for index in reversed(range(len(moved))):
        moved[index] = min(moved[index], ceiling)
        ceiling = moved[index] - least
    return moved
