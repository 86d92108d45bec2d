"""The views of a plate in its hole schedule: enough to draw it beside its holes."""

import json
from typing import Any

import pytest

from tallyplate.documents.measures import MEASURES
from tallyplate.documents.schedules.schedule import schedule_json
from tests.plates import installation

FLAT = {"family": "rectangular", "length": "700 mm", "width": "450 mm", "material": "al-6061-t6"}
ROUND = {"family": "round", "diameter": "400 mm", "material": "al-6061-t6"}
BLOCK = {"family": "tombstone", "faces": 4, "face_width": "300 mm", "height": "500 mm", "material": "al-6061-t6"}


def schedule(plate: dict[str, Any], unit: str = "mm") -> dict[str, Any]:
    made = installation().build({"plate": plate})
    pieces = schedule_json(made.build, made.shop, 1, made.as_of, MEASURES[unit])
    found: dict[str, Any] = json.loads(b"".join(pieces))
    return found


def test_a_plate_has_one_view_with_its_lattice_its_marked_sides_and_its_table() -> None:
    found = schedule(FLAT)
    (view,) = found["views"]
    assert (view["length"], view["width"], view["disc"]) == ("700", "450", False)
    assert sorted(view["marked"]) == ["bottom", "left"]
    assert view["lattice"]["pitch_x"] == view["lattice"]["pitch_y"] == "25.4"
    assert found["table"]["surface"] == "t_slots"
    assert (found["table"]["slot_width"], found["table"]["spacing"]) == ("18", "100")


def test_every_hole_is_shown_by_exactly_one_view() -> None:
    for plate in (FLAT, ROUND, BLOCK):
        found = schedule(plate)
        for hole in found["holes"]:
            assert sum(hole["face"] in view["faces"] for view in found["views"]) == 1


def test_holes_on_the_lattice_lie_where_the_view_says_that_it_is() -> None:
    found = schedule(FLAT)
    lattice = {name: float(value) for name, value in found["views"][0]["lattice"].items()}
    tapped = [hole for hole in found["holes"] if hole["kind"] == "tapped"]
    assert tapped
    for hole in tapped:
        column, row = ord(hole["name"][0]) - ord("A"), int(hole["name"][1:]) - 1
        assert float(hole["x"]) == pytest.approx(lattice["x"] + column * lattice["pitch_x"], abs=1e-3)
        assert float(hole["y"]) == pytest.approx(lattice["y"] + row * lattice["pitch_y"], abs=1e-3)


def test_slots_run_through_the_holding_holes() -> None:
    found = schedule(FLAT)
    rows = {float(hole["y"]) for hole in found["holes"] if hole["kind"] == "holding"}
    spacing = float(found["table"]["spacing"])
    first = min(rows)
    assert all((row - first) % spacing == pytest.approx(0, abs=1e-3) for row in rows)


def test_a_disc_is_said_to_be_one_and_a_block_has_a_view_for_every_face() -> None:
    assert schedule(ROUND)["views"][0]["disc"] is True
    titles = [view["title"] for view in schedule(BLOCK)["views"]]
    assert titles[0] == "top view"
    assert {"face 1", "face 2", "face 3", "face 4"} <= set(titles)


def test_views_are_in_the_unit_that_is_asked_for() -> None:
    assert schedule({**FLAT, "length": "25 in"}, "in")["views"][0]["length"] == "25"
