"""Key seats: on one line of the table, clear of screws and edges, and exactly the holes that come near given up."""

from functools import cache
from itertools import product
from math import inf
from typing import Any, Final

import pytest
import shapely
from msgspec.structs import replace

from tallyplate.contract import Build, Hole, HoleGroup, Lattice, Recess, ShopData, Usual
from tallyplate.inquiry import read
from tests.contract.test_mountings import ARRANGED, GRID, SIZES, T_SLOTS
from tests.plates import installation, request

SHOP: Final = installation().shops[-1]
KEPT: Final = replace(SHOP, usual=replace(SHOP.usual, seats="kept"))
WALL, EDGE = SHOP.walls.between_holes, SHOP.walls.to_edge
PLATES: Final = [
    {
        "/plate/length": f"{length} mm",
        "/plate/width": f"{width} mm",
        "/plate/thickness": thickness,
        "/plate/pattern": pattern,
        "/plate/mounting": {**table, "locate": "keys"},
    }
    for (length, width), table, (pattern, thickness) in product(
        SIZES,
        (T_SLOTS, GRID, {**T_SLOTS, "slot_spacing": "63 mm"}),
        zip(ARRANGED, ("40 mm", "60 mm", "30 mm"), strict=True),
    )
]
EVERY: Final = pytest.mark.parametrize("place", range(len(PLATES)))


def made(changes: dict[str, Any], shop: ShopData = SHOP) -> Build:
    here = installation()
    inquiry = read(request(changes), here.families)
    return here.families[inquiry.family].build(inquiry.plate, shop, Usual())


@cache
def plate(place: int) -> Build:
    return made(PLATES[place])


def boxes(build: Build) -> list[shapely.Geometry]:
    return [
        shapely.box(x - seat.length / 2, y - seat.width / 2, x + seat.length / 2, y + seat.width / 2)
        for seat in build.recesses
        for x, y in seat.at
    ]


def open_at(hole: Hole, depth: float) -> float:
    """The widest of a hole that is open below a depth, found by going down it in steps."""
    threads = max((bore.depth for bore in hole.bores[1:]), default=0.0)
    found = [bore.diameter for bore in hole.bores if bore.depth > depth + 1e-9]
    if hole.thread and threads + hole.thread.depth > depth + 1e-9:
        found.append(hole.thread.major)
    return max(found, default=0.0)


def wall(build: Build, group: HoleGroup, spot: tuple[float, float], seat: Recess) -> float:
    """What is solid between a hole and the nearest seat; endless where the hole ends well above them."""
    diameter = open_at(group.hole, build.body.thickness - seat.depth - WALL)
    nearest = min(box.distance(shapely.Point(spot)) for box in boxes(build))
    return nearest - diameter / 2 if diameter else inf


@EVERY
def test_two_seats_lie_on_one_line_of_the_table_within_the_plate_and_apart(place: int) -> None:
    build = plate(place)
    (seat,) = build.recesses
    (left, y), (right, other) = seat.at
    assert y == other
    assert right - left >= seat.length + WALL - 1e-6
    (screws,) = [group.layout for group in build.holes if group.kind == "holding"]
    first = min(y for _, y in screws.positions())
    assert (y - first) / build.table.spacing == pytest.approx(round((y - first) / build.table.spacing), abs=1e-6)
    inside = shapely.box(EDGE, EDGE, build.body.length - EDGE, build.body.width - EDGE).buffer(1e-6)
    assert all(inside.covers(box) for box in boxes(build))


@EVERY
def test_every_hole_leaves_the_least_wall_to_every_seat(place: int) -> None:
    build = plate(place)
    (seat,) = build.recesses
    for group in build.holes:
        for spot in group.layout.positions():
            assert wall(build, group, spot, seat) >= WALL - 1e-6, (group.kind, spot)


@EVERY
def test_only_holes_that_come_near_a_seat_give_way_to_it(place: int) -> None:
    build, kept = plate(place), made(PLATES[place], KEPT)
    assert kept.recesses == build.recesses
    assert kept.hardware == build.hardware
    (seat,) = build.recesses
    groups = {group.kind: group for group in kept.holes if isinstance(group.layout, Lattice)}
    lost = {*build.given_up} - {*kept.given_up}
    near = {
        (kind, node)
        for kind, group in groups.items()
        for node in group.layout.nodes()  # type: ignore[union-attr]
        if wall(build, group, group.layout.position(node), seat) < WALL - 1e-6  # type: ignore[union-attr]
    }
    assert lost == near
    assert {*kept.given_up} <= {*build.given_up}


def test_some_plates_lose_holes_to_seats_and_some_lose_none() -> None:
    counts = [len(plate(place).given_up) - len(made(PLATES[place], KEPT).given_up) for place in range(len(PLATES))]
    assert min(counts) == 0
    assert max(counts) > 2


def test_a_seat_takes_the_place_that_fewest_holes_come_near() -> None:
    # One row of holes along the slot, 80 mm apart from 45 mm on, each 10 mm wide below. A seat has 54 mm and the wall
    # is 2.5 mm, so that 34.5 mm from a hole to its middle are enough: half-way between two, at 85 mm from either end.
    # As far out as the screws let it, at 55.25 mm, it would lie across the first hole.
    changes = {
        "/plate/length": "490 mm",
        "/plate/width": "90 mm",
        "/plate/pattern": {"arrangement": "combination", "pitch": "80 mm", "screw": "M10", "margin": "45 mm"},
        "/plate/mounting": {**T_SLOTS, "locate": "keys"},
    }
    build = made(changes)
    assert build.recesses[0].at == ((85.0, 45.0), (405.0, 45.0))
    assert build.given_up == made(changes, KEPT).given_up


def test_seats_go_to_a_slot_between_the_screws_where_these_leave_no_room() -> None:
    build = made(
        {"/plate/length": "120 mm", "/plate/width": "350 mm", "/plate/mounting": {**T_SLOTS, "locate": "keys"}}
    )
    (seat,) = build.recesses
    (screws,) = [group.layout for group in build.holes if group.kind == "holding"]
    assert {y for _, y in screws.positions()} == {25.0, 325.0}
    assert [y for _, y in seat.at] == [125.0, 125.0]


def test_a_plate_without_room_for_two_seats_has_them_without_a_place() -> None:
    build = made(
        {"/plate/length": "110 mm", "/plate/width": "120 mm", "/plate/mounting": {**T_SLOTS, "locate": "keys"}}
    )
    (seat,) = build.recesses
    assert (seat.count, seat.at) == (2, ())


def test_the_seats_of_a_dense_pattern_are_placed_without_looking_at_every_hole() -> None:
    dense = {"/plate/pattern": {"arrangement": "combination", "pitch": "1.4 mm", "screw": "M10", "margin": "20 mm"}}
    build = made({**dense, "/plate/mounting": {**T_SLOTS, "locate": "keys"}}, KEPT)
    (seat,) = build.recesses
    assert len(seat.at) == 2
