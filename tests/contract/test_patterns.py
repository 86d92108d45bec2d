"""Patterns: which kinds of hole share the lattice, where it starts, and how many fit."""

from fractions import Fraction
from typing import Any

import pytest

from tallyplate.contract import Build, HoleGroup, Lattice
from tests.plates import ABSENT, built

FREE: dict[str, Any] = {"/plate/mounting": {"surface": "none"}}
"""Nothing to make way for."""


def _groups(build: Build) -> dict[str, HoleGroup]:
    return {group.kind: group for group in build.holes if not group.mounting}


def _lattice(group: HoleGroup) -> Lattice:
    assert isinstance(group.layout, Lattice)
    return group.layout


def _places(group: HoleGroup) -> set[tuple[float, float]]:
    return {(round(x, 6), round(y, 6)) for x, y in group.layout.positions()}


def test_combination_and_tapped_holes_take_turns_along_rows_and_columns() -> None:
    groups = _groups(built(FREE))
    combined, tapped = _places(groups["combination"]), _places(groups["tapped"])
    # 700 x 450 mm at 35 mm from a margin of 35 mm: 19 x 11 nodes to the far margins.
    assert len(combined) + len(tapped) == 19 * 11
    assert (35.0, 35.0) in combined
    for x, y in combined:
        for neighbour in ((x + 35, y), (x, y + 35)):
            assert neighbour not in combined
            assert neighbour in tapped or neighbour[0] > 665 or neighbour[1] > 415


def test_in_a_combination_arrangement_every_hole_does_both() -> None:
    groups = _groups(built({**FREE, "/plate/pattern/arrangement": "combination"}))
    assert set(groups) == {"combination"}
    assert groups["combination"].count == 19 * 11


def _separate(**more: Any) -> dict[str, Any]:
    return {**FREE, "/plate/pattern": {"arrangement": "separate", "screw": "M12", **more}}


def test_separate_lattices_lie_half_a_pitch_apart_unless_told_otherwise() -> None:
    groups = _groups(built(_separate(margin="40 mm", locating={"pitch": "50 mm"})))
    assert set(groups) == {"locating", "tapped"}
    locating, tapped = _lattice(groups["locating"]), _lattice(groups["tapped"])
    assert (locating.x, locating.y, locating.pitch_x) == (40.0, 40.0, 50.0)
    assert (tapped.x, tapped.y, tapped.pitch_x) == (65.0, 65.0, 50.0)


def test_separate_lattices_each_keep_their_own_pitch_margin_and_origin() -> None:
    origin = {"x": "100 mm", "y": "60 mm"}
    wanted = _separate(
        locating={"pitch": "80 mm", "margin": "30 mm", "origin": origin}, tapped={"pitch": "60 mm", "margin": "50 mm"}
    )
    groups = _groups(built(wanted))
    locating, tapped = _lattice(groups["locating"]), _lattice(groups["tapped"])
    assert (locating.x, locating.y, locating.pitch_y) == (100.0, 60.0, 80.0)
    # From 100 to 670 mm and from 60 to 420 mm at 80 mm; from 140 to 650 and from 100 to 400 mm at 60 mm.
    assert (locating.columns, locating.rows) == (8, 5)
    assert (tapped.x, tapped.y, tapped.columns, tapped.rows) == (140.0, 100.0, 9, 6)


def test_an_origin_moves_the_first_hole_and_the_far_margins_stay() -> None:
    groups = _groups(built({**FREE, "/plate/pattern/origin": {"x": "50 mm", "y": "20 mm"}}))
    lattice = _lattice(groups["combination"])
    assert (lattice.x, lattice.y) == (50.0, 20.0)
    assert (lattice.columns, lattice.rows) == ((665 - 50) // 35 + 1, (415 - 20) // 35 + 1)


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("columns", [1, 2, 12, 29])
def test_the_last_column_that_fits_exactly_is_drilled_in_any_unit(unit: str, columns: int) -> None:
    pitch, margin = Fraction(12, 10), Fraction(7, 10)
    scale = 1 if unit == "in" else Fraction("25.4")
    size = 2 * margin + (columns - 1) * pitch

    def text(inches: Fraction) -> str:
        return f"{float(inches * scale):.6f} {unit}"

    for change, expected in ((Fraction(0), columns), (Fraction(-1, 1000), columns - 1), (Fraction(1, 1000), columns)):
        pattern = {"arrangement": "combination", "pitch": text(pitch), "margin": text(margin)}
        wanted = {**FREE, "/plate/pattern": pattern, "/plate/length": text(size + change)}
        if expected:
            assert _lattice(_groups(built(wanted))["combination"]).columns == expected


def test_the_usual_pitch_and_margin_are_those_of_the_screw() -> None:
    for screw, usual in (("M10", 25.0), ("M16", 40.0), ("3/8-16", 25.4)):
        lattice = _lattice(_groups(built({**FREE, "/plate/pattern": {"screw": screw}}))["combination"])
        assert (lattice.pitch_x, lattice.pitch_y, lattice.x, lattice.y) == (usual, usual, usual, usual)


def test_coordinates_name_every_column_and_row_along_each_marked_edge() -> None:
    build = built({**FREE, "/plate/marking/edges": ["top", "left", "bottom", "left"]})
    # 19 columns A to S, and 11 rows 1 to 11, which take 9 + 2 x 2 characters.
    assert {marks.side: marks.characters for marks in build.marks} == {"top": 19, "bottom": 19, "left": 13}


def test_an_unmarked_plate_is_asked_for_with_no_edges() -> None:
    assert built({"/plate/marking/edges": []}).marks == ()
    assert {marks.side for marks in built({"/plate/marking": ABSENT}).marks} == {"left", "bottom"}
