"""Holes of upright faces against those of other faces: bores that would meet inside a block.

A bore is looked at from above, as the rectangle of its widest diameter and its depth. Two that lie as high as each
other stand so far apart as their rectangles; two that differ in height by more than they are wide cannot meet. Between,
the rectangles count, so that the wall is never overstated.
"""

from collections.abc import Iterator
from itertools import combinations, product
from math import ceil, cos, floor, hypot, inf, sin, sqrt, tau

from tallyplate.contract import Body, Face, HoleGroup, Lattice
from tallyplate.findings.finding import PRACTICE, Case, Finding, Severity
from tallyplate.findings.walls import SLACK, between_steps
from tallyplate.units import decimal_text

Place = tuple[float, float]


def check(case: Case) -> Iterator[Finding]:
    """Walls too thin between the bores of two faces of a block."""
    body, least = case.build.body, case.shop.walls.between_holes
    faces = {face.name: face for face in body.faces}
    upright = [(group, faces[group.face]) for group in case.build.holes if _upright(group, faces)]
    for (first, face), (second, other) in combinations(upright, 2):
        if first.face != second.face:
            yield from _thin(first, second, _apart(first, face, second, other, least), least)
    eyes = [group for group in case.build.holes if group.face in faces and not _upright(group, faces)]
    for (group, face), lifting in product(upright, eyes):
        yield from _thin(group, lifting, _below(group, face, lifting, body), least)


def _upright(group: HoleGroup, faces: dict[str, Face]) -> bool:
    return group.face in faces and faces[group.face].reach > 0 and isinstance(group.layout, Lattice)


def _thin(first: HoleGroup, second: HoleGroup, wall: float, least: float) -> Iterator[Finding]:
    if wall < least - SLACK:
        what = "meet" if wall <= 0 else f"leave {decimal_text(wall, 2)} mm"
        yield Finding(
            "thin-wall",
            Severity.ERROR,
            first.asked,
            f"{first.kind} holes of {first.face} and {second.kind} holes of {second.face} {what} inside the block; at "
            f"least {decimal_text(least, 2)} mm stay solid",
            PRACTICE,
        )


def _apart(first: HoleGroup, face: Face, second: HoleGroup, other: Face, least: float) -> float:
    """A wall in mm thinner than `least` between the bores of two upright faces, or infinite where there is none."""
    one, two = first.layout, second.layout
    assert isinstance(one, Lattice)  # noqa: S101 - upright groups are on lattices
    assert isinstance(two, Lattice)  # noqa: S101 - likewise
    higher = between_steps(one.y, one.pitch_y, one.rows, two.y, two.pitch_y, two.rows)
    if higher >= (first.hole.widest + second.hole.widest) / 2 + least:
        return inf
    reach = _half(first) + _half(second) + least
    for column in range(one.columns):
        bore = _bore(first, face, one.x + column * one.pitch_x)
        beside = _beside(_middle(bore), second, other, reach)
        wall = _nearest(bore, [_bore(second, other, two.x + column * two.pitch_x) for column in beside])
        if wall < least - SLACK:
            return wall
    return inf


def _half(group: HoleGroup) -> float:
    """Half the diagonal in mm of a bore seen from above."""
    return hypot(group.hole.widest, group.hole.bores[0].depth) / 2


def _middle(bore: tuple[Place, ...]) -> Place:
    (x, y), _, (x2, y2), _ = bore
    return (x + x2) / 2, (y + y2) / 2


def _beside(place: Place, group: HoleGroup, face: Face, reach: float) -> range:
    """The columns of a face whose bores have their middle within reach of a place."""
    lattice = group.layout
    assert isinstance(lattice, Lattice)  # noqa: S101 - upright groups are on lattices
    turn, out = tau * face.turn, face.reach - group.hole.bores[0].depth / 2
    away = place[0] * cos(turn) + place[1] * sin(turn) - out
    if abs(away) >= reach:
        return range(0)
    along = place[1] * cos(turn) - place[0] * sin(turn) + face.length / 2 - lattice.x
    half = sqrt(reach * reach - away * away)
    first, last = ceil((along - half) / lattice.pitch_x), floor((along + half) / lattice.pitch_x)
    return range(max(0, first), min(lattice.columns, last + 1))


def _bore(group: HoleGroup, face: Face, along: float) -> tuple[Place, ...]:
    """Corners in plan of a bore that starts so far along a face: from the axis of the block, in order around."""
    out, half, deep = face.reach, group.hole.widest / 2, group.hole.bores[0].depth
    aside = along - face.length / 2
    turn = tau * face.turn
    corners = ((out, aside - half), (out, aside + half), (out - deep, aside + half), (out - deep, aside - half))
    return tuple((x * cos(turn) - y * sin(turn), x * sin(turn) + y * cos(turn)) for x, y in corners)


def _nearest(bore: tuple[Place, ...], others: list[tuple[Place, ...]]) -> float:
    """Least distance to bores that stand side by side: it falls and then rises along them, so halves suffice."""
    first, last = 0, len(others) - 1
    while last - first > 2:  # noqa: PLR2004 - fewer than two steps apart, nothing is left to halve
        middle = (first + last) // 2
        if _distance(bore, others[middle]) <= _distance(bore, others[middle + 1]):
            last = middle + 1
        else:
            first = middle
    return min((_distance(bore, other) for other in others[first : last + 1]), default=inf)


def _distance(one: tuple[Place, ...], two: tuple[Place, ...]) -> float:
    """Distance in mm between two rectangles; 0 where they overlap."""
    if not _parted(one, two):
        return 0.0
    return min(
        _to_side(corner, side, rectangle[number - 1])
        for rectangle, corners in ((one, two), (two, one))
        for number, side in enumerate(rectangle)
        for corner in corners
    )


def _parted(one: tuple[Place, ...], two: tuple[Place, ...]) -> bool:
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


def _below(group: HoleGroup, face: Face, lifting: HoleGroup, body: Body) -> float:
    """Least wall in mm between the bores of an upright face and holes in the upper end of the block."""
    lattice = group.layout
    assert isinstance(lattice, Lattice)  # noqa: S101 - upright groups are on lattices
    end = next(one for one in body.faces if one.name == lifting.face)
    top_row = lattice.y + (lattice.rows - 1) * lattice.pitch_y + group.hole.widest / 2
    under = face.width - lifting.hole.bores[0].depth - top_row
    half, turn = lifting.hole.widest / 2, tau * face.turn
    walls = []
    for right, front in lifting.layout.positions():
        x, y = right - end.length / 2, front - end.width / 2
        deep = face.reach - (x * cos(turn) + y * sin(turn)) - group.hole.bores[0].depth
        along = y * cos(turn) - x * sin(turn) + face.length / 2
        aside = between_steps(along, 1.0, 1, lattice.x, lattice.pitch_x, lattice.columns) - group.hole.widest / 2
        parts = (max(0.0, under), max(0.0, deep - half), max(0.0, aside - half))
        walls.append(hypot(*parts))
    return min(walls)
