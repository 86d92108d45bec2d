"""How a plate sits on its machine: slots and their spacing, screws, overhang, locators, rows; each at its edge."""

from typing import Any

import pytest
from msgspec.structs import replace

from tallyplate.contract import Build, Points
from tallyplate.findings import Case, Finding, Severity, of_plate
from tests.plates import answer, built, findings, installation

SLOTS: dict[str, Any] = {"surface": "t_slots", "slot_width": "18 mm", "slot_spacing": "100 mm", "screw": "M16"}
SMALL: dict[str, Any] = {
    "/plate/width": "80 mm",
    "/plate/pattern": {"margin": "20 mm", "screw": "M10"},
    "/plate/mounting": {"surface": "tapped_grid", "grid_pitch": "100 mm", "locate": "none", "screw": "M10"},
}
SHOP = installation().shops[0]

CASES: dict[str, tuple[str, str, str, dict[str, Any], dict[str, Any]]] = {
    "slots that the standard spaces otherwise": (
        "unknown-spacing", "caution", "/plate/mounting/slot_spacing",
        {"/plate/mounting": {**SLOTS, "slot_spacing": "100.2 mm"}},
        {"/plate/mounting": {**SLOTS, "slot_spacing": "100.09 mm"}},
    ),
    # An M10 screw keeps 9 + 4 mm from an edge, so that two find holes 100 mm apart under 126 mm.
    "a plate on one screw": (
        "single-screw", "caution", "/plate/mounting",
        {**SMALL, "/plate/length": "125.9 mm"}, {**SMALL, "/plate/length": "126 mm"},
    ),
    "two pins that both fill their holes": (
        "over-constrained", "caution", "/plate/mounting/locate",
        {"/plate/mounting": {**SLOTS, "locate": "retractable_pins"}},
        {"/plate/mounting": {**SLOTS, "locate": "pins"}},
    ),
}  # fmt: skip


@pytest.mark.parametrize(("code", "severity", "pointer", "case", "neighbour"), CASES.values(), ids=CASES)
def test_a_finding_stands_in_its_case_and_not_in_the_neighbour(
    code: str, severity: str, pointer: str, case: dict[str, Any], neighbour: dict[str, Any]
) -> None:
    finding = findings(case)[code]
    assert (finding["severity"], finding["pointer"]) == (severity, pointer)
    assert code not in findings(neighbour)


def held_at(*places: tuple[float, float]) -> Build:
    """The usual plate, 700 x 450 x 40 mm, with holding screws at some places."""
    build = built()
    held = (replace(group, layout=Points(places)) for group in build.holes if group.kind == "holding")
    return replace(build, holes=(*(group for group in build.holes if group.kind != "holding"), *held))


def said(build: Build) -> dict[str, Finding]:
    return {finding.code: finding for finding in of_plate(Case(build, SHOP))}


@pytest.mark.parametrize(
    ("far", "pointer"), [((580.0, 330.0), None), ((579.9, 330.0), "/plate/length"), ((580.0, 329.9), "/plate/width")]
)
def test_a_plate_40_mm_thick_may_reach_120_mm_beyond_its_screws(far: tuple[float, float], pointer: str | None) -> None:
    found = said(held_at((20.0, 20.0), far))
    assert (found["overhang"].pointer if "overhang" in found else None) == pointer


def test_a_screw_that_takes_the_room_of_more_than_two_holes_is_worth_a_note() -> None:
    build = built()
    added = sum(group.count for group in build.holes if group.mounting)
    given_up = tuple(("tapped", (0, row)) for row in range(2 * added + 1))
    assert "rows-off-table" not in said(replace(build, given_up=given_up[1:]))
    note = said(replace(build, given_up=given_up))["rows-off-table"]
    assert (note.severity, note.pointer) == (Severity.NOTE, "/plate/pattern")
    assert "slots 100 mm apart do not meet hole rows 35 mm apart" in note.message


@pytest.mark.parametrize(("thickness", "too_deep"), [("6 mm", True), ("6.1 mm", False)])
def test_key_seats_a_third_of_18_mm_deep_leave_a_floor_or_not(thickness: str, too_deep: bool) -> None:
    changes = {"/plate/mounting": {**SLOTS, "locate": "keys"}, "/plate/thickness": thickness}
    messages = [finding["message"] for finding in every(changes) if finding["code"] == "no-floor"]
    assert any("key seats are 6 mm deep" in message for message in messages) is too_deep


def every(changes: dict[str, Any]) -> list[dict[str, Any]]:
    """All findings, those of one code too."""
    found: list[dict[str, Any]] = answer(changes)["findings"]
    return found


def test_a_usual_plate_comes_with_what_it_weighs_and_what_makes_way_and_no_more() -> None:
    assert set(findings()) == {"heavy", "given-up"}
