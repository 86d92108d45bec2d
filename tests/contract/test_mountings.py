"""Mountings: screws symmetric on the table's lines within the plate, and exactly the crowded positions given up."""

from itertools import pairwise
from math import dist
from typing import Any

import pytest

from tallyplate.contract import Build, HoleGroup, Points, Refusal
from tests.plates import built, installation

SHOP = installation().shops[0]

T_SLOTS: dict[str, Any] = {"surface": "t_slots", "slot_width": "18 mm", "slot_spacing": "100 mm", "screw": "M16"}
GRID: dict[str, Any] = {"surface": "tapped_grid", "grid_pitch": "80 mm", "screw": "M12"}
SIZES = [(700, 450), (710, 451), (420, 300), (1500, 700), (250, 230), (3000, 120), (300, 1400)]
MOUNTED = [
    {"/plate/length": f"{length} mm", "/plate/width": f"{width} mm", "/plate/mounting": {**table, "locate": locate}}
    for length, width in SIZES
    for table in (T_SLOTS, GRID, {**T_SLOTS, "slot_spacing": "63 mm"})
    for locate in ("pins", "keys")
]
ARRANGED: list[dict[str, Any]] = [
    {"arrangement": "alternating", "pitch": "35 mm", "screw": "M12", "margin": "35 mm"},
    {"arrangement": "combination", "pitch": "1 in", "screw": "3/8-16"},
    {
        "arrangement": "separate",
        "screw": "M12",
        "margin": "20 mm",
        "locating": {"pitch": "50 mm"},
        "tapped": {"pitch": "30 mm"},
    },
]


def _added(build: Build) -> dict[str, list[tuple[float, float]]]:
    return {group.kind: list(group.layout.positions()) for group in build.holes if group.mounting}


@pytest.mark.parametrize("changes", MOUNTED, ids=lambda changes: " ".join(map(str, changes.values()))[:90])
def test_screws_stand_on_the_tables_lines_and_within_the_plate(changes: dict[str, Any]) -> None:
    build = built(changes)
    screws, spacing = _added(build)["holding"], build.table.spacing
    length, width, screw = build.body.length, build.body.width, SHOP.screws[build.table.screw]
    clear = screw.counterbore / 2 + SHOP.walls.to_edge
    for x, y in screws:
        assert clear - 1e-9 <= x <= length - clear + 1e-9
        assert clear - 1e-9 <= y <= width - clear + 1e-9
    lines = sorted({round(y, 6) for _, y in screws})
    for low, high in pairwise(lines):
        assert (high - low) / spacing == pytest.approx(round((high - low) / spacing), abs=1e-6)
    # No line farther out would do: one more spacing of the table leaves the plate.
    assert lines[-1] - lines[0] + spacing > width - 2 * clear


@pytest.mark.parametrize("length", [200, 434, 436, 834, 836, 3000])
def test_screws_along_a_slot_are_no_farther_apart_than_the_shop_holds(length: int) -> None:
    build = built({"/plate/length": f"{length} mm", "/plate/mounting": {**T_SLOTS, "locate": "none"}})
    columns = sorted({x for x, _ in _added(build)["holding"]})
    gaps = [b - a for a, b in pairwise(columns)]
    assert max(gaps) <= SHOP.usual.holding_spacing + 1e-6


@pytest.mark.parametrize("locate", ["pins", "retractable_pins"])
@pytest.mark.parametrize("table", [T_SLOTS, GRID], ids=["t_slots", "tapped_grid"])
def test_two_pins_stand_on_places_that_the_table_has(table: dict[str, Any], locate: str) -> None:
    build = built({"/plate/mounting": {**table, "locate": locate}})
    added, spacing = _added(build), build.table.spacing
    assert len(added["pin"]) == 2
    lines = {round(y, 6) for _, y in added["holding"]}
    for x, y in added["pin"]:
        assert round(y, 6) in lines
        if table is GRID:
            steps = (x - added["holding"][0][0]) / spacing
            assert steps == pytest.approx(round(steps), abs=1e-6)


@pytest.mark.parametrize("pattern", ARRANGED, ids=lambda pattern: pattern["arrangement"])
@pytest.mark.parametrize("changes", MOUNTED[::2], ids=lambda changes: " ".join(map(str, changes.values()))[:60])
def test_the_positions_given_up_are_exactly_those_too_near(changes: dict[str, Any], pattern: dict[str, Any]) -> None:
    free = built({**changes, "/plate/pattern": pattern, "/plate/mounting": {"surface": "none"}})
    mounted = built({**changes, "/plate/pattern": pattern})
    added = [group for group in mounted.holes if group.mounting]
    kept = {group.kind: set(group.layout.positions()) for group in mounted.holes if not group.mounting}
    for group in free.holes:
        near = {place for place in group.layout.positions() if any(_too_near(place, group, other) for other in added)}
        assert set(group.layout.positions()) - near == kept.get(group.kind, set())


def _too_near(place: tuple[float, float], group: HoleGroup, other: HoleGroup) -> bool:
    reach = (group.hole.widest + other.hole.widest) / 2 + SHOP.walls.between_holes
    return any(dist(place, screw) < reach * (1 - 1e-9) for screw in other.layout.positions())


HARDWARE = [
    ({**T_SLOTS, "locate": "none"}, {"holding_screw": 6, "t_nut": 6}),
    ({**T_SLOTS, "locate": "pins"}, {"holding_screw": 6, "t_nut": 6, "round_pin": 1, "relieved_pin": 1}),
    ({**T_SLOTS, "locate": "retractable_pins"}, {"holding_screw": 6, "t_nut": 6, "retractable_pin": 2}),
    ({**T_SLOTS, "locate": "keys"}, {"holding_screw": 6, "t_nut": 6, "key": 2}),
    ({**GRID, "locate": "pins"}, {"holding_screw": 4, "round_pin": 1, "relieved_pin": 1}),
    ({"surface": "none"}, {}),
]


@pytest.mark.parametrize(("mounting", "parts"), HARDWARE, ids=lambda value: str(value)[:40])
def test_the_parts_are_those_that_hold_and_locate(mounting: dict[str, Any], parts: dict[str, int]) -> None:
    build = built({"/plate/mounting": mounting})
    assert {part.kind: part.count for part in build.hardware} == parts
    screws = [group for group in build.holes if group.kind == "holding"]
    assert sum(group.count for group in screws) == parts.get("holding_screw", 0)
    assert all(isinstance(group.layout, Points) for group in screws)
    assert bool(build.recesses) == ("key" in parts)


@pytest.mark.parametrize(
    ("size", "mounting", "pointer"),
    [
        ((200, 30), T_SLOTS, "/plate/mounting/screw"),
        ((26, 200), GRID, "/plate/mounting/screw"),
        ((90, 200), {**T_SLOTS, "locate": "pins"}, "/plate/mounting/locate"),
    ],
    ids=["narrow", "short", "no room for pins"],
)
def test_a_plate_too_small_for_its_mounting_is_refused_with_the_way_out(
    size: tuple[int, int], mounting: dict[str, Any], pointer: str
) -> None:
    small = {"/plate/length": f"{size[0]} mm", "/plate/width": f"{size[1]} mm", "/plate/pattern": {"margin": "5 mm"}}
    with pytest.raises(Refusal, match="no room") as raised:
        built({**small, "/plate/mounting": mounting})
    (fault,) = raised.value.faults
    assert fault.pointer == pointer
    assert "accepted: " in fault.message


@pytest.mark.parametrize(
    ("mounting", "idle"),
    [
        ({"surface": "none", "slot_width": "18 mm"}, "slot_width"),
        ({"surface": "none", "locate": "pins"}, "locate"),
        ({**T_SLOTS, "grid_pitch": "100 mm"}, "grid_pitch"),
        ({**GRID, "slot_width": "18 mm"}, "slot_width"),
    ],
)
def test_an_answer_that_the_table_has_no_use_for_is_refused_and_not_dropped(
    mounting: dict[str, Any], idle: str
) -> None:
    with pytest.raises(Refusal, match=f"/plate/mounting/{idle}"):
        built({"/plate/mounting": mounting})
