"""The hole schedule as JSON, its holes written a thousand at a time."""

from collections.abc import Iterator
from datetime import date
from itertools import islice
from typing import Final

import msgspec
from msgspec import UNSET, Struct, UnsetType

from tallyplate.contract import Build, Recess, Services, ShopData
from tallyplate.documents.measures import Measure
from tallyplate.documents.schedules.holes import given_up_names, hole_types, named_holes
from tallyplate.documents.schedules.milled import CoreAnswer, MilledAnswer, kept_free_answers, milled_answers
from tallyplate.documents.schedules.parts import Part, parts
from tallyplate.documents.schedules.steps import Step, steps
from tallyplate.documents.schedules.views import TableAnswer, ViewAnswer, table_answer, view_answers

CHUNK: Final = 1000
"""Holes that are written at a time."""

ORIGIN: Final = "lower left corner of the face that carries the pattern, as one looks at it"


class TypeAnswer(Struct, frozen=True, gc=False):
    """A type of hole: its steps in the order of making, and how many one plate has. `fitted` names what goes into it.

    `position_tolerance` is the diameter of the true-position zone; holes that only mount the plate have none stated.
    """

    type: int
    kind: str
    faces: tuple[str, ...]
    mounting: bool
    count: int
    steps: tuple[Step, ...]
    fitted: tuple[str, ...]
    position_tolerance: str | None


class HoleAnswer(Struct, frozen=True, gc=False):
    """One hole: its engraved name, or its number where it lies on no lattice; its centre; its type."""

    name: str
    x: str
    y: str
    face: str
    kind: str
    type: int


class GivenUp(Struct, frozen=True, gc=False):
    """A position of the pattern that has no hole, since it made way for another."""

    name: str
    kind: str


class RecessAnswer(Struct, frozen=True, gc=False):
    """Milled pockets that are alike, such as the seats of keys; `length` runs along x.

    `at` are the middles of those whose places are settled; the shop places the others.
    """

    kind: str
    face: str
    count: int
    length: str
    width: str
    depth: str
    at: tuple[tuple[str, str], ...]


class PlateAnswer(Struct, frozen=True, gc=False):
    """The finished plate over all."""

    material: str
    finish: str
    length: str
    width: str
    thickness: str


class HoleSchedule(Struct, frozen=True, gc=False, kw_only=True):
    """Every hole of one plate, and the parts of the order; lengths are decimal text in `unit`.

    A plate with `faults`, the codes of findings, cannot be made as it stands. `x` and `y` run to the right and up from
    `origin`; holes of the bottom face are placed as seen through from above.
    """

    unit: str
    origin: str
    as_of: date
    shop_data: str
    quantity: int
    faults: tuple[str, ...]
    plate: PlateAnswer
    views: tuple[ViewAnswer, ...]
    table: TableAnswer
    types: tuple[TypeAnswer, ...]
    hole_count: int
    given_up: tuple[GivenUp, ...]
    recesses: tuple[RecessAnswer, ...]
    milled: tuple[MilledAnswer, ...] | UnsetType = UNSET
    kept_free: tuple[CoreAnswer, ...] | UnsetType = UNSET
    parts: tuple[Part, ...]
    holes: list[HoleAnswer]


def schedule_json(
    build: Build,
    shop: ShopData,
    quantity: int,
    as_of: date,
    measure: Measure,
    faults: tuple[str, ...] = (),
    services: Services | None = None,
) -> Iterator[bytes]:
    """The schedule as pieces of one JSON object."""
    kinds = type_answers(build, measure)
    body = build.body
    head = HoleSchedule(
        unit=measure.unit,
        origin=ORIGIN,
        as_of=as_of,
        shop_data=shop.id,
        quantity=quantity,
        faults=faults,
        plate=PlateAnswer(body.material, build.finish, *map(measure.size, (body.length, body.width, body.thickness))),
        views=view_answers(build, measure),
        table=table_answer(build, measure),
        types=kinds,
        hole_count=sum(one.count for one in kinds),
        given_up=tuple(GivenUp(name, kind) for kind, name in given_up_names(build)),
        recesses=tuple(_recess(one, measure) for one in build.recesses),
        milled=milled_answers(build, measure) or UNSET,
        kept_free=kept_free_answers(build, measure) or UNSET,
        parts=parts(build, shop, quantity, measure, services),
        holes=[],
    )
    # The last field is an empty list, which the holes are written into.
    yield msgspec.json.encode(head).removesuffix(b"]}")
    holes, first = hole_answers(build, measure), True
    while chunk := list(islice(holes, CHUNK)):
        yield (b"" if first else b",") + msgspec.json.encode(chunk)[1:-1]
        first = False
    yield b"]}"


def _recess(of: Recess, measure: Measure) -> RecessAnswer:
    length, width, depth = map(measure.size, (of.length, of.width, of.depth))
    middles = tuple((measure.place(x), measure.place(y)) for x, y in of.at)
    return RecessAnswer(of.kind, of.face, of.count, length, width, depth, middles)


def type_answers(build: Build, measure: Measure) -> tuple[TypeAnswer, ...]:
    """The types of hole in a unit."""
    tolerance = measure.tolerance(build.position_tolerance)
    return tuple(
        TypeAnswer(
            one.number, one.kind, one.faces, one.mounting, one.count, steps(one.hole, measure),
            one.hole.parts, None if one.mounting else tolerance,
        )
        for one in hole_types(build)
    )  # fmt: skip


def hole_answers(build: Build, measure: Measure) -> Iterator[HoleAnswer]:
    """Every hole in a unit, lazily."""
    types = {one.number: one for one in hole_types(build)}
    for hole in named_holes(build):
        of = types[hole.type]
        yield HoleAnswer(hole.name, measure.place(hole.x), measure.place(hole.y), hole.face, of.kind, hole.type)
