"""Outlines of pockets, slots, cut-outs and kept areas as lines and arcs."""

from collections.abc import Iterator
from math import atan2, degrees, hypot

from tallyplate.contract import Outline
from tallyplate.documents.drawings.shapes import Arc, Circle, Line, Shape, Spot
from tallyplate.documents.drawings.views import Placed


def outline_shapes(layer: str, outline: Outline, view: Placed) -> Iterator[Shape]:
    """All that lies within a radius of a core: a side beside each of the core's, and an arc about each corner."""
    core, radius = [view.at(x, y) for x, y in outline.core], outline.radius * view.scale
    if len(core) == 1:
        yield Circle(layer, core[0], radius)
        return
    corners = core if _counterclockwise(core) else core[::-1]
    beside = [_beside(start, end, radius) for start, end in zip(corners, (*corners[1:], corners[0]), strict=True)]
    for number, (start, end) in enumerate(beside):
        yield Line(layer, start, end)
        if radius:
            centre, following = corners[(number + 1) % len(corners)], beside[(number + 1) % len(beside)][0]
            yield Arc(layer, centre, radius, _angle(centre, end), _angle(centre, following))


def _counterclockwise(core: list[Spot]) -> bool:
    following = (*core[1:], core[0])
    return sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in zip(core, following, strict=True)) >= 0


def _beside(start: Spot, end: Spot, radius: float) -> tuple[Spot, Spot]:
    """The line that lies a radius to the right of another."""
    along, up = end[0] - start[0], end[1] - start[1]
    share = radius / hypot(along, up)
    right, down = up * share, along * share
    return (start[0] + right, start[1] - down), (end[0] + right, end[1] - down)


def _angle(centre: Spot, spot: Spot) -> float:
    return degrees(atan2(spot[1] - centre[1], spot[0] - centre[0])) % 360
