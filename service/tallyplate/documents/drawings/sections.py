"""A section through the middle of one type of hole, with the diameter and depth of every step."""

from collections.abc import Iterator
from itertools import pairwise
from typing import Final

from msgspec import Struct

from tallyplate.contract import Hole
from tallyplate.documents.drawings.dimensions import GAP, OVERSHOOT, TAIL, Look, dimension, stands
from tallyplate.documents.drawings.hatching import hatched
from tallyplate.documents.drawings.paper import METRIC_SCALES, ratio
from tallyplate.documents.drawings.shapes import NORMAL, SMALL, Line, Shape, Spot, Text, breadth
from tallyplate.documents.measures import Measure
from tallyplate.documents.schedules.steps import goes_through

STACK: Final = 5.5
"""From an outline to the first dimension line and from line to line, in mm of paper."""
CAPTION: Final = 5.5
POINT: Final = 0.3
"""Height of a drill's point over its diameter, at 118 degrees (common practice, no source)."""
SOLID: Final = 0.55
"""What is shown on either side of a hole, in widest diameters."""
BELOW: Final = 1.25
"""How deep the solid is shown under a hole that ends in it, in depths."""
SPECK: Final = 1.0
"""Diameter in mm of paper below which a hole in section is a speck, which tells nobody anything."""


class Cut(Struct, frozen=True):
    """A bore or a thread in section, between two depths in mm."""

    diameter: float
    top: float
    depth: float
    words: str
    through: bool


def cuts(hole: Hole, measure: Measure) -> list[Cut]:
    """Every step of a hole, each from where it is seen."""
    found = []
    for bore in hole.bores:
        above = max((other.depth for other in hole.bores if other.diameter > bore.diameter), default=0.0)
        words = f"\u00d8{measure.size(bore.diameter)}"
        found.append(Cut(bore.diameter, min(above, bore.depth), bore.depth, words, goes_through(hole, bore)))
    if hole.thread:
        start = hole.above
        end = start + hole.thread.depth
        through = hole.through and end >= hole.bores[0].depth
        found.append(Cut(hole.thread.major, start, end, hole.thread.designation, through))
    return sorted(found, key=lambda cut: cut.diameter)


class Shown(Struct, frozen=True):
    """Where a section stands: the middle of the hole's mouth on paper, and the scale.

    It shows the solid so `deep` and to `half` on either side, in mm of the plate; `height` is that of its figures.
    """

    mouth: Spot
    scale: str
    deep: float
    half: float
    height: float

    def at(self, across: float, depth: float) -> Spot:
        """A place of the hole on paper."""
        factor = ratio(self.scale)
        return self.mouth[0] + across * factor, self.mouth[1] - depth * factor


def section(
    hole: Hole, solid: float, box: tuple[float, float, float, float], caption: str, measure: Measure
) -> Iterator[Shape]:
    """The section in a box of paper at the largest usual scale; `solid` is the thickness of the body in mm.

    Nothing is drawn where that makes specks of the holes.
    """
    left, lower, right, upper = box
    found = cuts(hole, measure)
    above, below = ([cut for cut in found if (cut.top == 0) is first] for first in (True, False))
    deep = sorted({cut.depth: cut for cut in found if not cut.through}.values(), key=lambda cut: cut.depth)
    through = hole.bores[0].depth
    shown, half = through if hole.through else min(solid, BELOW * through), (0.5 + SOLID) * hole.widest
    wide = right - left - 2 * GAP
    high = upper - lower - CAPTION - STACK * (len(above) + len(below)) - NORMAL - 2
    # The largest scale at which all of it fits, if need be with small figures; or else what comes nearest.
    tries = [
        (_reach(found, deep, half * ratio(scale), ratio(scale), measure, height), scale, height)
        for scale in METRIC_SCALES
        if shown * ratio(scale) <= high
        for height in (NORMAL, SMALL)
    ] or [((0.0, 0.0), METRIC_SCALES[-1], SMALL)]
    nearest = min(tries, key=lambda one: sum(one[0]))
    (before, after), scale, height = next((one for one in tries if sum(one[0]) <= wide), nearest)
    if found[0].diameter * ratio(scale) < SPECK:
        return
    spare = wide - before - after, high - shown * ratio(scale)
    mouth = left + GAP + before + spare[0] / 2, upper - STACK * len(above) - NORMAL - 1 - spare[1] / 2
    place = Shown(mouth, scale, shown, half, height)
    yield from _solid(hole, place)
    yield from _edges(found, place)
    for stack, base, away in ((above, place.at(0, 0)[1], 1), (below, place.at(0, shown)[1], -1)):
        for number, cut in enumerate(stack, start=1):
            ends = place.at(-cut.diameter / 2, 0)[0], place.at(cut.diameter / 2, 0)[0]
            yield from dimension(ends, base, base + away * STACK * number, cut.words, Look(height=height))
    yield from _depths(deep, place, measure)
    words = f"{caption}, {scale}"
    yield Text("SECTION_NOTES", ((left + right) / 2, lower + 1.5), words, NORMAL, "middle")


def _reach(
    found: list[Cut], deep: list[Cut], half: float, factor: float, measure: Measure, height: float
) -> tuple[float, float]:
    """What a section and its dimensions take at a scale on the left and on the right of the middle, in mm of paper."""
    left, right, lines = half, half + OVERSHOOT, 0
    for cut in deep:
        words = measure.size(cut.depth)
        if stands(words, cut.depth * factor):
            lines += 1
        else:
            left += STACK + breadth(words, height) + GAP
    right += STACK * lines
    for cut in found:
        if not stands(cut.words, cut.diameter * factor):
            right = max(right, cut.diameter * factor / 2 + TAIL + breadth(cut.words, height))
    return left, right


def _depths(deep: list[Cut], place: Shown, measure: Measure) -> Iterator[Shape]:
    """Depths from the face, on the right; those too short for their figures on the left."""
    left, right = place.at(-place.half, 0)[0], place.at(place.half, 0)[0]
    at, to = left, right
    for cut in deep:
        words = measure.size(cut.depth)
        ends = place.at(0, cut.depth)[1], place.at(0, 0)[1]
        if stands(words, ends[1] - ends[0]):
            to += STACK
            yield from dimension(ends, right, to, words, Look(upright=True, height=place.height))
        else:
            at -= STACK
            yield from dimension(ends, left, at, words, Look(upright=True, level=True, height=place.height))
            at -= breadth(words, place.height) + GAP


def _wall(hole: Hole, shown: float) -> list[tuple[float, float]]:
    """The wall of one side from the mouth down, as distances from the middle and depths."""
    corners, depth = [], 0.0
    for bore in sorted(hole.bores, key=lambda bore: -bore.diameter):
        corners += [(bore.diameter / 2, depth), (bore.diameter / 2, max(depth, bore.depth))]
        depth = max(depth, bore.depth)
    if not hole.through:
        narrowest = hole.bores[0]
        tip = depth + (0.0 if narrowest.flat else POINT * narrowest.diameter)
        corners += [(0.0, min(tip, shown)), (0.0, shown)]
    return corners


def _solid(hole: Hole, place: Shown) -> Iterator[Shape]:
    """Both sides, hatched, with their outlines; where the solid goes on it has no line."""
    for side in (-1, 1):
        wall = [place.at(side * across, depth) for across, depth in _wall(hole, place.deep)]
        face, foot = place.at(side * place.half, 0.0), place.at(side * place.half, place.deep)
        yield from hatched((face, *wall, foot))
        drawn = (face, *wall, foot) if hole.through else (face, *wall[:-1])
        for start, end in pairwise(drawn):
            yield Line("SECTION", start, end)


def _edges(found: list[Cut], place: Shown) -> Iterator[Shape]:
    """What is seen behind the section: edges across the hole, the thread's lines, and the middle."""
    widest = max(cut.diameter for cut in found) / 2
    yield Line("THREADS", place.at(-widest, 0.0), place.at(widest, 0.0))
    for cut in found:
        radius = cut.diameter / 2
        threaded = not cut.words.startswith("\u00d8")
        if threaded:
            for side in (-1, 1):
                yield Line("THREADS", place.at(side * radius, cut.top), place.at(side * radius, cut.depth))
        yield Line("SECTION" if threaded else "THREADS", place.at(-radius, cut.depth), place.at(radius, cut.depth))
    (x, upper), (_, lower) = place.at(0.0, 0.0), place.at(0.0, place.deep)
    yield Line("CENTER_LINES", (x, upper + 2.5), (x, lower - 2.5))
