"""Where holding screws go: fewest holes of the pattern lost, against every place tried one by one."""

from itertools import pairwise, product
from math import hypot
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tallyplate.contract import Build
from tests.plates import built, installation

SHOP = installation().shops[0]
SLOTS = {"surface": "t_slots", "slot_width": "18 mm", "locate": "none", "screw": "M16"}
GRID = {"surface": "tapped_grid", "locate": "none", "screw": "M12"}


def plate(
    width: float, height: float, pitch: float, mounting: dict[str, Any], arrangement: str = "combination"
) -> Build:
    pattern = {"pitch": f"{pitch} mm", "margin": f"{pitch} mm", "screw": "M10", "arrangement": arrangement}
    changes = {"/plate/length": f"{width} mm", "/plate/width": f"{height} mm", "/plate/thickness": "40 mm"}
    return built({**changes, "/plate/pattern": pattern, "/plate/mounting": mounting})


def screws(build: Build) -> list[tuple[float, float]]:
    (group,) = [group for group in build.holes if group.mounting]
    return list(group.layout.positions())


def holes(build: Build, bare: Build) -> list[tuple[float, float, float]]:
    """Every hole of the pattern with how near a screw may come to it, taken from the plate that nothing holds."""
    (holding,) = [group for group in build.holes if group.mounting]
    return [
        (x, y, (group.hole.widest + holding.hole.widest) / 2 + SHOP.walls.between_holes)
        for group in bare.holes
        for x, y in group.layout.positions()
    ]


def lost(places: list[tuple[float, float]], pattern: list[tuple[float, float, float]]) -> int:
    """Holes too near to a place, counted for each place by itself."""
    return sum(hypot(x - u, y - v) < reach * (1 - 1e-9) for x, y in places for u, v, reach in pattern)


def steps(place: float, pitch: float, within: float) -> set[float]:
    """Places on a hole or half-way between two, no farther than asked, found by walking the whole pattern."""
    grid = [half * pitch / 2 for half in range(200)]
    return {place} | {each for each in grid if abs(each - place) <= within + 1e-9}


def tried(build: Build, pitch: float, spacing: float, slotted: bool) -> list[list[tuple[float, float]]]:
    """Every placement that the rule allows: lines up to half a pitch aside, outer screws of a slot a pitch inwards."""
    screw = SHOP.screws[build.table.screw]
    inset = max(screw.counterbore, screw.locating) / 2 + SHOP.walls.to_edge

    def lines(size: float) -> list[list[float]]:
        count = int((size - 2 * inset) / spacing + 1e-9)
        base = [size / 2 - count * spacing / 2, size / 2 + count * spacing / 2] if count else [size / 2]
        room = min(base[0] - inset, pitch / 2)
        shifts = {to - line for line in base for to in steps(line, pitch, room)}
        return [[line + shift for line in base] for shift in shifts]

    length, width = build.body.length, build.body.width
    if slotted:
        ends = [
            [x for x in steps(inset, pitch, pitch) if inset <= x < length / 2],
            [x for x in steps(length - inset, pitch, pitch) if length / 2 < x <= length - inset],
        ]
        columns = [list(pair) for pair in product(*ends)]
    else:
        columns = lines(length)
    return [[(x, y) for y in rows for x in across] for rows in lines(width) for across in columns]


@settings(max_examples=60, deadline=None)
@given(
    st.integers(240, 420),
    st.integers(240, 420),
    st.integers(22, 60),
    st.sampled_from((90, 100, 125)),
    st.booleans(),
    st.sampled_from(("combination", "alternating")),
)
def test_no_place_that_the_rule_allows_loses_fewer_holes(
    width: int, height: int, pitch: int, spacing: int, slotted: bool, arrangement: str
) -> None:
    step = {"slot_spacing" if slotted else "grid_pitch": f"{spacing} mm"}
    build = plate(width, height, pitch, (SLOTS if slotted else GRID) | step, arrangement)
    bare = plate(width, height, pitch, {"surface": "none"}, arrangement)
    pattern = holes(build, bare)
    everything = [lost(places, pattern) for places in tried(build, pitch, spacing, slotted)]
    assert lost(screws(build), pattern) == min(everything)


@settings(max_examples=40, deadline=None)
@given(
    st.integers(300, 480),
    st.integers(240, 420),
    st.integers(22, 60),
    st.sampled_from((90, 100, 125)),
    st.sampled_from(("combination", "alternating")),
)
def test_a_pin_stands_where_it_costs_fewest_holes_besides_and_of_equals_farthest_out(
    width: int, height: int, pitch: int, spacing: int, arrangement: str
) -> None:
    """A hole that a screw costs already is not counted again."""
    mounting = SLOTS | {"locate": "pins", "slot_spacing": f"{spacing} mm"}
    build = plate(width, height, pitch, mounting, arrangement)
    held, pinned = [group for group in build.holes if group.mounting]
    pattern = [
        (x, y, (group.hole.widest + pinned.hole.widest) / 2 + SHOP.walls.between_holes)
        for group in plate(width, height, pitch, {"surface": "none"}, arrangement).holes
        for x, y in group.layout.positions()
    ]
    left = [hole for hole in pattern if not any(lost([at], [hole]) for at in held.layout.positions())]
    screw, columns = SHOP.screws["M16"], [x for x, _ in held.layout.positions()]
    clear = max(screw.counterbore, screw.locating) + 2 * SHOP.walls.to_edge
    (near, lower), (far, upper) = pinned.layout.positions()
    first, last = min(columns) + clear, max(columns) - clear
    within = min(pitch, (last - first - (clear if lower == upper else 0)) / 2)
    for x, y, home, inwards in ((near, lower, first, 1), (far, upper, last, -1)):
        allowed = [to for to in steps(home, pitch, within) if (to - home) * inwards >= 0]
        assert x == pytest.approx(min(allowed, key=lambda to: (lost([(to, y)], left), abs(to - home))))


def test_a_slots_screws_step_aside_for_the_pattern() -> None:
    """Holes stand 22 mm from the left edge, where the farthest-out screw would be; half-way to the next is room."""
    pattern = {"pitch": "70 mm", "margin": "22 mm", "screw": "M10", "arrangement": "combination"}
    sizes = {"/plate/length": "464 mm", "/plate/width": "254 mm", "/plate/thickness": "40 mm"}
    build = built({**sizes, "/plate/pattern": pattern, "/plate/mounting": SLOTS | {"slot_spacing": "100 mm"}})
    assert not build.given_up
    assert {x for x, _ in screws(build)} == {57.0, 197.0, 407.0}


def test_of_equals_the_farthest_out_is_taken() -> None:
    """Nothing is in the way of a screw in the corner, so that is where it stands."""
    wide = {"/plate/pattern": {"pitch": "50 mm", "margin": "120 mm", "screw": "M10"}}
    build = built({**wide, "/plate/length": "600 mm", "/plate/width": "500 mm", "/plate/mounting": SLOTS})
    screw = SHOP.screws["M16"]
    inset = screw.counterbore / 2 + SHOP.walls.to_edge
    assert min(x for x, _ in screws(build)) == pytest.approx(inset)
    assert not build.given_up


@pytest.mark.parametrize("length", [836, 1200, 3000])
def test_screws_that_step_aside_are_no_farther_apart_than_the_shop_holds(length: int) -> None:
    build = plate(length, 400, 45, SLOTS | {"slot_spacing": "100 mm"})
    columns = sorted({round(x, 6) for x, _ in screws(build)})
    assert max(right - left for left, right in pairwise(columns)) <= SHOP.usual.holding_spacing + 1e-6
