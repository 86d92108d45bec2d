"""A block of working faces from above: its outline, and the hollow whose wall is what its areas and volume leave."""

from collections.abc import Iterator
from functools import partial
from math import cos, dist, isclose, sin, sqrt, tau
from typing import Final

from tallyplate.contract import Body, Face
from tallyplate.documents.drawings.shapes import Spot

CLOSE: Final = 1e-6
"""Share by which figures may differ that are one."""
BACK_TO_BACK: Final = 2


def upright(body: Body) -> list[Face]:
    """The faces that stand about the axis, counterclockwise."""
    return sorted((face for face in body.faces if face.reach), key=lambda face: face.turn)


def ring(body: Body, wall: float = 0.0) -> list[Spot]:
    """The corners of the outline that lies so far within the faces, about the axis in mm."""
    faces = upright(body)
    corners = []
    for face in faces:
        x, y, reach = cos(tau * face.turn), sin(tau * face.turn), face.reach - wall
        within = wall if len(faces) == BACK_TO_BACK else wall * face.length / 2 / face.reach
        half = face.length / 2 - within
        corners += [(reach * x - side * y * half, reach * y + side * x * half) for side in (-1, 1)]
    return corners


def fills(body: Body, length: float, width: float) -> bool:
    """Whether a box of such sides is the one that holds the block's outline."""
    extents = [max(places) - min(places) for places in zip(*ring(body), strict=True)]
    return len(extents) > 0 and all(map(partial(isclose, rel_tol=CLOSE), extents, (length, width)))


def wall_of(body: Body) -> float:
    """The wall of a block that is hollow from end to end in mm; 0 of a solid one, and of one whose hollow is another.

    It is worked out from the area of the upper end, and taken for true where volume and surface agree with it.
    """
    faces, ends = upright(body), [face for face in body.faces if not face.reach]
    if len(faces) < BACK_TO_BACK or len(ends) != 1 or not _alike(faces):
        return 0.0
    (block, _), first = _measures(ring(body)), faces[0]
    hollow = block - ends[0].area
    if hollow <= CLOSE * block:
        return 0.0
    if len(faces) == BACK_TO_BACK:
        sides = first.length + 2 * first.reach
        wall = (sides - sqrt(sides**2 - 4 * ends[0].area)) / 4
    else:
        wall = first.reach * (1 - sqrt(hollow / block))
    return wall if _agrees(body, wall) else 0.0


def _alike(faces: list[Face]) -> bool:
    return len({(face.length, face.width, face.reach) for face in faces}) == 1


def _agrees(body: Body, wall: float) -> bool:
    """Whether a block with such a wall on its base has the body's volume and surface."""
    (block, around), (hollow, within) = _measures(ring(body)), _measures(ring(body, wall))
    high = body.thickness - body.rim
    volume = block * high + body.plan_area * body.rim - hollow * body.thickness
    surface = around * high + within * body.thickness + 2 * (body.plan_area - hollow) + body.perimeter * body.rim
    return isclose(volume, body.volume, rel_tol=CLOSE) and isclose(surface, body.surface, rel_tol=CLOSE)


def _measures(corners: list[Spot]) -> tuple[float, float]:
    """Area and outline of a polygon."""
    pairs = list(_sides(corners))
    return sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairs) / 2, sum(dist(*pair) for pair in pairs)


def _sides(corners: list[Spot]) -> Iterator[tuple[Spot, Spot]]:
    return zip(corners, (*corners[1:], *corners[:1]), strict=True)


def outline(body: Body, centre: Spot) -> Iterator[tuple[Spot, Spot]]:
    """The sides of the block from above, and of its hollow, about a place of the axis in mm."""
    wall = wall_of(body)
    for corners in (ring(body), ring(body, wall) if wall else []):
        moved = [(centre[0] + x, centre[1] + y) for x, y in corners]
        yield from (side for side in _sides(moved) if dist(*side) > CLOSE * body.length)
