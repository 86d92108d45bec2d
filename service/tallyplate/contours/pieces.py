"""The pieces of contours on one layer of a file: circles, and chains of straight lines. Lengths are the file's own."""

from collections.abc import Iterator, Sequence
from math import radians, tau
from typing import Final

from msgspec import Struct

from tallyplate.contours.arcs import arc, bulged
from tallyplate.contours.tags import POINTER, Tag, number, whole
from tallyplate.contract import refuse
from tallyplate.contract.outlines import Spot

MOST_SPOTS: Final = 20_000
"""Places of all pieces together."""

READ: Final = ("LINE", "ARC", "CIRCLE", "LWPOLYLINE", "POLYLINE")
FEWEST: Final = 2
"""Corners of a polyline."""
CLOSED: Final = 1
"""Bit of a polyline's flags that says that it is closed."""
FLAT: Final = 8 | 16 | 64
"""Bits of those of a polyline that is no plain one: in space, or a mesh."""
X, Y, BULGE, FLAGS, RADIUS, LAYER, HANDLE = 10, 20, 42, 70, 40, 8, 5
START, END = 50, 51
"""Angles of an arc in degrees."""
FAR_X, FAR_Y = 11, 21
"""The other end of a line."""
EXTRUDED = (210, 220, 230)
"""The direction that an entity's plane looks in."""


class Entity(Struct, frozen=True):
    """An entity of a file: its kind, its tags, and for a polyline the tags of each of its vertices."""

    kind: str
    tags: tuple[Tag, ...]
    vertices: tuple[tuple[Tag, ...], ...] = ()

    def first(self, code: int) -> Tag | None:
        """Its first tag of a code."""
        return next((tag for tag in self.tags if tag.code == code), None)

    def text(self, code: int) -> str:
        """The value of that tag; empty where there is none."""
        found = self.first(code)
        return found.value if found else ""

    @property
    def name(self) -> str:
        """What it is called in messages."""
        return f"{self.kind} {self.text(HANDLE)[:16]}".strip()

    def size(self, code: int, otherwise: float | None = None) -> float:
        """The number of a code; refuses an entity without it that needs it."""
        found = self.first(code)
        if found is None:
            if otherwise is None:
                raise refuse(POINTER, f"{self.name} has no group {code}; accepted: an entity with all its groups")
            return otherwise
        return number(found, self.name)


class Ring(Struct, frozen=True):
    """A whole circle."""

    name: str
    centre: Spot
    radius: float


class Chain(Struct, frozen=True):
    """Straight lines from place to place; a `closed` one goes back to its first."""

    name: str
    spots: tuple[Spot, ...]
    closed: bool = False


class NotRead(Struct, frozen=True, gc=False):
    """An entity of the layer that is not understood, and why."""

    entity: str
    why: str


def pieces(found: Sequence[Entity], error: float) -> tuple[list[Ring | Chain], list[NotRead]]:
    """The pieces of some entities, arcs flattened within an error; and the entities that are none."""
    read: list[Ring | Chain] = []
    strange: list[NotRead] = []
    spots = 0
    for one in found:
        if why := _why_not(one):
            strange.append(NotRead(one.name, why))
            continue
        piece = _piece(one, error)
        spots += len(piece.spots) if isinstance(piece, Chain) else 1
        if spots > MOST_SPOTS:
            message = f"has more than {MOST_SPOTS} places on the layer; accepted: a larger chord error or less on it"
            raise refuse(POINTER, message)
        read.append(piece)
    return read, strange


def _why_not(one: Entity) -> str:
    if one.kind not in READ:
        return f"is not read; accepted: {', '.join(READ)}"
    turned = [one.size(code, otherwise) for code, otherwise in zip(EXTRUDED, (0.0, 0.0, 1.0), strict=True)]
    if turned != [0.0, 0.0, 1.0]:
        return "does not lie flat; accepted: entities in the plane of x and y"
    if one.kind == "POLYLINE" and _flags(one) & FLAT:
        return "is a polyline in space or a mesh; accepted: a flat one"
    return ""


def _flags(one: Entity) -> int:
    found = one.first(FLAGS)
    return whole(found, one.name) if found else 0


def _piece(one: Entity, error: float) -> Ring | Chain:
    if one.kind == "LINE":
        return Chain(one.name, ((one.size(X), one.size(Y)), (one.size(FAR_X), one.size(FAR_Y))))
    if one.kind in {"CIRCLE", "ARC"}:
        centre, radius = (one.size(X), one.size(Y)), one.size(RADIUS)
        if radius <= 0:
            raise refuse(POINTER, f"{one.name} has a radius of {radius:g}; accepted: above 0")
        if one.kind == "CIRCLE":
            return Ring(one.name, centre, radius)
        start = radians(one.size(START))
        sweep = (radians(one.size(END)) - start) % tau or tau
        return Chain(one.name, tuple(arc(centre, radius, start, sweep, error)))
    corners = list(_corners(one))
    if len(corners) < FEWEST:
        raise refuse(POINTER, f"{one.name} has {len(corners)} corners; accepted: at least {FEWEST}")
    closed = bool(_flags(one) & CLOSED)
    spots: list[Spot] = []
    ends = (*corners[1:], corners[0]) if closed else tuple(corners[1:])
    for (start_at, bulge), (end_at, _) in zip(corners, ends, strict=False):
        spots += [start_at, *bulged(start_at, end_at, bulge, error)]
    if not closed:
        spots.append(corners[-1][0])
    return Chain(one.name, tuple(spots), closed)


def _corners(one: Entity) -> Iterator[tuple[Spot, float]]:
    """The corners of a polyline, each with the bulge of what follows it."""
    groups = one.vertices if one.kind == "POLYLINE" else _by_corner(one)
    for group in groups:
        vertex = Entity(one.kind, group)
        yield (vertex.size(X), vertex.size(Y)), vertex.size(BULGE, 0.0)


def _by_corner(one: Entity) -> list[tuple[Tag, ...]]:
    """The tags of each corner of a light polyline: from one x to the next."""
    groups: list[list[Tag]] = []
    for tag in one.tags:
        if tag.code == X:
            groups.append([tag])
        elif groups and tag.code in {Y, BULGE}:
            groups[-1].append(tag)
    return [tuple(group) for group in groups]
