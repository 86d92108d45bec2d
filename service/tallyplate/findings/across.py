"""Holes of upright faces against those of other faces: bores that would meet inside a block.

A bore is looked at from above, as the rectangle of its widest diameter and its depth. Two that lie as high as each
other stand so far apart as their rectangles; two that differ in height by more than they are wide cannot meet. Between,
the rectangles count, so that the wall is never overstated.
"""

from collections.abc import Iterator
from itertools import combinations, product
from math import ceil, cos, floor, hypot, inf, sin, sqrt, tau

from msgspec import Struct

from tallyplate.contract import Body, Face, HoleGroup, Lattice
from tallyplate.findings.finding import PRACTICE, Case, Finding, Severity
from tallyplate.findings.walls import SLACK, between_steps
from tallyplate.units import decimal_text, unlike

Place = tuple[float, float]

Bore = tuple[Place, Place, Place, Place]
"""Corners in plan, from the axis of the block: both at the face, then both at the bottom, in order around."""


class Bored(Struct, frozen=True, gc=False):
    """Like holes of an upright face: the bore of each column, and the way that the face looks.

    Columns that run into each other count as one bore as wide as all of them, so that work grows with a face and not
    with how dense its holes are; `start` and `step` say where along the face in mm the middles of bores lie.
    """

    group: HoleGroup
    lattice: Lattice
    face: Face
    way: Place
    """East and north of a step straight out of the face."""
    bores: tuple[Bore, ...]
    start: float
    step: float
    half: float
    """Half the diagonal in mm of a bore seen from above."""


def check(case: Case) -> Iterator[Finding]:
    """Walls too thin between the bores of two faces of a block."""
    body, least = case.build.body, case.shop.walls.between_holes
    faces = {face.name: face for face in body.faces}
    upright, eyes = list[Bored](), list[HoleGroup]()
    for group in case.build.holes:
        if face := faces.get(group.face):
            layout = group.layout
            if face.reach > 0 and isinstance(layout, Lattice):
                upright.append(_bored(group, layout, face))
            else:
                eyes.append(group)
    for one, two in combinations(upright, 2):
        if one.group.face != two.group.face:
            yield from _thin(one.group, two.group, _apart(one, two, least), least)
    for one, lifting in product(upright, eyes):
        yield from _thin(one.group, lifting, _below(one, lifting, body), least)


def _bored(group: HoleGroup, lattice: Lattice, face: Face) -> Bored:
    east, north = cos(tau * face.turn), sin(tau * face.turn)
    widest, deep, out = group.hole.widest, group.hole.bores[0].depth, face.reach

    def turned(x: float, y: float) -> Place:
        return x * east - y * north, x * north + y * east

    columns, start, step, wide = lattice.columns, lattice.x, lattice.pitch_x, widest
    if step < widest:
        across = (columns - 1) * step
        columns, start, wide = 1, start + across / 2, widest + across

    def bore(column: int) -> Bore:
        aside = start + column * step - face.length / 2
        left, right, bottom = aside - wide / 2, aside + wide / 2, out - deep
        return turned(out, left), turned(out, right), turned(bottom, right), turned(bottom, left)

    bores = tuple(map(bore, range(columns)))
    return Bored(group, lattice, face, (east, north), bores, start, step, hypot(wide, deep) / 2)


def _thin(first: HoleGroup, second: HoleGroup, wall: float, least: float) -> Iterator[Finding]:
    if wall < least - SLACK:
        what = "meet" if wall <= 0 else f"leave {unlike(wall, least, 2)} mm"
        yield Finding(
            "thin-wall",
            Severity.ERROR,
            first.asked,
            f"{first.kind} holes of {first.face} and {second.kind} holes of {second.face} {what} inside the block; at "
            f"least {decimal_text(least, 2)} mm stay solid",
            PRACTICE,
        )


def _apart(one: Bored, two: Bored, least: float) -> float:
    """A wall in mm thinner than `least` between the bores of two upright faces, or infinite where there is none."""
    first, second = one.lattice, two.lattice
    higher = between_steps(first.y, first.pitch_y, first.rows, second.y, second.pitch_y, second.rows)
    if higher >= (one.group.hole.widest + two.group.hole.widest) / 2 + least:
        return inf
    reach = one.half + two.half + least
    for bore in one.bores:
        beside = two.bores[_beside(bore, two, reach)]
        wall = _nearest(bore, beside) if beside else inf
        if wall < least - SLACK:
            return wall
    return inf


def _beside(bore: Bore, other: Bored, reach: float) -> slice:
    """The columns of a face whose bores have their middle within reach of that of a bore."""
    (x1, y1), _, (x2, y2), _ = bore
    x, y = (x1 + x2) / 2, (y1 + y2) / 2
    (east, north), face = other.way, other.face
    away = x * east + y * north - (face.reach - other.group.hole.bores[0].depth / 2)
    if abs(away) >= reach:
        return slice(0)
    along = y * east - x * north + face.length / 2 - other.start
    half = sqrt(reach * reach - away * away)
    first, last = ceil((along - half) / other.step), floor((along + half) / other.step)
    return slice(max(0, first), max(0, last + 1))


def _nearest(bore: Bore, others: tuple[Bore, ...]) -> float:
    """Least distance to bores that stand side by side: it falls and then rises along them, so halves suffice."""
    first, last = 0, len(others) - 1
    while last - first > 2:  # noqa: PLR2004 - fewer than two steps apart, nothing is left to halve
        middle = (first + last) // 2
        if _distance(bore, others[middle]) <= _distance(bore, others[middle + 1]):
            last = middle + 1
        else:
            first = middle
    return min((_distance(bore, other) for other in others[first : last + 1]), default=inf)


def _distance(one: Bore, two: Bore) -> float:
    """Distance in mm between two rectangles; 0 where they overlap."""
    if not _parted(one, two):
        return 0.0
    return min(
        _to_side(corner, side, rectangle[number - 1])
        for rectangle, corners in ((one, two), (two, one))
        for number, side in enumerate(rectangle)
        for corner in corners
    )


def _parted(one: Bore, two: Bore) -> bool:
    """Whether a line parallel to a side of either parts two rectangles."""
    for rectangle in (one, two):
        for start, end in ((rectangle[0], rectangle[1]), (rectangle[1], rectangle[2])):
            x, y = end[0] - start[0], end[1] - start[1]
            ours, theirs = ([x * corner[0] + y * corner[1] for corner in corners] for corners in (one, two))
            if max(ours) < min(theirs) or max(theirs) < min(ours):
                return True
    return False


def _to_side(point: Place, start: Place, end: Place) -> float:
    x, y = end[0] - start[0], end[1] - start[1]
    along = ((point[0] - start[0]) * x + (point[1] - start[1]) * y) / (x * x + y * y)
    share = min(1.0, max(0.0, along))
    return hypot(point[0] - start[0] - share * x, point[1] - start[1] - share * y)


def _below(bored: Bored, lifting: HoleGroup, body: Body) -> float:
    """Least wall in mm between the bores of an upright face and holes in the upper end of the block."""
    (east, north), lattice, face, hole = bored.way, bored.lattice, bored.face, bored.group.hole
    end = next(one for one in body.faces if one.name == lifting.face)
    top_row = lattice.y + (lattice.rows - 1) * lattice.pitch_y + hole.widest / 2
    under = face.width - lifting.hole.bores[0].depth - top_row
    half = lifting.hole.widest / 2
    walls = []
    for right, front in lifting.layout.positions():
        x, y = right - end.length / 2, front - end.width / 2
        deep = face.reach - (x * east + y * north) - hole.bores[0].depth
        along = y * east - x * north + face.length / 2
        aside = between_steps(along, 1.0, 1, lattice.x, lattice.pitch_x, lattice.columns) - hole.widest / 2
        parts = (max(0.0, under), max(0.0, deep - half), max(0.0, aside - half))
        walls.append(hypot(*parts))
    return min(walls)
