"""Every hole of a build by name and place, made one at a time, and the types of hole.

A hole on a lattice is named as its coordinates are engraved: a letter for the column and a number for the row. The
finest lattice of a face is the one that is engraved; a hole of another lattice is named by its own columns and rows,
with a prime for each finer lattice. In a zone, which is engraved by itself, `Z2-` stands before the name, the number
being the zone's. Holes that lie on no lattice are numbered by kind.
"""

from collections.abc import Iterator
from typing import Final, NamedTuple

from msgspec import Struct

from tallyplate.contract import Build, Hole, HoleGroup, Lattice, letters
from tallyplate.lattice import Node

PRIME: Final = "'"


class HoleType(Struct, frozen=True):
    """Holes of one kind that are made alike, the faces that have them, and how many one plate has."""

    number: int
    kind: str
    hole: Hole
    mounting: bool
    faces: tuple[str, ...]
    count: int


class NamedHole(NamedTuple):
    """One hole: its face, its name there, its centre in mm, and the number of its type."""

    face: str
    name: str
    x: float
    y: float
    type: int


def hole_types(build: Build) -> tuple[HoleType, ...]:
    """The types of hole, numbered from 1 in the order of the build."""
    alike: dict[tuple[str, Hole, bool], list[HoleGroup]] = {}
    for group in build.holes:
        alike.setdefault((group.kind, group.hole, group.mounting), []).append(group)
    return tuple(
        HoleType(number, *made, tuple(dict.fromkeys(group.face for group in groups)), sum(g.count for g in groups))
        for number, (made, groups) in enumerate(alike.items(), start=1)
    )


def numbered(build: Build) -> Iterator[tuple[int, HoleGroup]]:
    """Every group with the number of its type."""
    numbers = {(one.kind, one.hole, one.mounting): one.number for one in hole_types(build)}
    for group in build.holes:
        yield numbers[group.kind, group.hole, group.mounting], group


def lattices(build: Build, face: str, zone: int = 0) -> tuple[Lattice, ...]:
    """The whole lattices of a face or of a zone on it, the finest first: most columns, then most rows."""
    here = (group.layout for group in build.holes if (group.face, group.zone) == (face, zone))
    found = {whole(layout) for layout in here if isinstance(layout, Lattice)}
    return tuple(sorted(found, key=lambda one: (-one.columns, -one.rows, one.x, one.y)))


def whole(lattice: Lattice) -> Lattice:
    """A lattice with all its nodes, which kinds of hole that share it have in common."""
    return Lattice(lattice.x, lattice.y, lattice.pitch_x, lattice.pitch_y, lattice.columns, lattice.rows)


def node_name(node: Node, primes: int = 0, zone: int = 0) -> str:
    """The engraved name of a column and a row, with the zone that it is engraved in."""
    within = f"Z{zone}-" if zone else ""
    return f"{within}{letters(node[0] + 1)}{node[1] + 1}{PRIME * primes}"


def named_holes(build: Build) -> Iterator[NamedHole]:
    """Every hole, group by group and row by row; lazily, since there may be hundreds of thousands."""
    seen: dict[tuple[str, str], int] = {}
    for number, group in numbered(build):
        layout = group.layout
        if isinstance(layout, Lattice):
            primes = lattices(build, group.face, group.zone).index(whole(layout))
            for node in layout.nodes():
                name = node_name(node, primes, group.zone)
                yield NamedHole(group.face, name, *layout.position(node), number)
        else:
            before = seen.get((group.face, group.kind), 0)
            seen[group.face, group.kind] = before + layout.count
            for place, (x, y) in enumerate(layout.positions(), start=before + 1):
                yield NamedHole(group.face, f"{group.kind}-{place}", x, y, number)


def given_up_names(build: Build) -> tuple[tuple[str, str], ...]:
    """Kind and name of the positions that have no hole, since they made way for another."""
    primes: dict[str, tuple[int, int]] = {}
    for group in build.holes:
        if isinstance(group.layout, Lattice):
            place = lattices(build, group.face, group.zone).index(whole(group.layout))
            primes.setdefault(group.called, (place, group.zone))
    return tuple((kind, node_name(node, *primes.get(kind, (0, 0)))) for kind, node in build.given_up)
