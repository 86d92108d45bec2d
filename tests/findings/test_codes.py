"""Each finding in a case that has it and in the nearest case that has not, at the field that would have to change."""

from datetime import date
from typing import Any

import pytest

from tests.plates import answer, findings

FREE: dict[str, Any] = {"/plate/mounting": {"surface": "none"}}
SLOTS: dict[str, Any] = {"surface": "t_slots", "slot_width": "18 mm", "slot_spacing": "100 mm", "screw": "M16"}
SIDE = {**FREE, "/plate/pattern": {"pitch": "35 mm", "screw": "M10"}, "/plate/marking/text": "ABCDEFGHIJ KLMNOPQRS"}
WALLS = {**FREE, "/plate/pattern": {"arrangement": "combination", "screw": "M12"}}
SHORT = {**FREE, "/plate/material": "steel-1018", "/plate/finish": "plain"}
"""Steel takes no bushings: an M12 locating bore of 16 mm reaches 16 mm deep, its thread one diameter, 12 mm, more."""

CASES: dict[str, tuple[str, str, str, dict[str, Any], dict[str, Any]]] = {
    # A bushing for M12 is 26 mm wide, and 2.5 mm stay solid between holes.
    "holes too close": (
        "thin-wall", "error", "/plate/pattern",
        {**WALLS, "/plate/pattern/pitch": "28.49 mm"}, {**WALLS, "/plate/pattern/pitch": "28.5 mm"},
    ),
    # 13 mm from its centre to its wall, and 4 mm stay solid to an edge.
    "a hole too close to an edge": (
        "thin-edge", "error", "/plate/pattern",
        {**WALLS, "/plate/pattern/margin": "16.99 mm"}, {**WALLS, "/plate/pattern/margin": "17 mm"},
    ),
    "too little thread": (
        "short-thread", "error", "/plate/thickness",
        {**SHORT, "/plate/thickness": "27.9 mm"}, {**SHORT, "/plate/thickness": "28 mm"},
    ),
    "a seat as deep as the plate": (
        "no-floor", "error", "/plate/thickness",
        {**SHORT, "/plate/thickness": "16 mm"}, {**SHORT, "/plate/thickness": "16.1 mm"},
    ),
    "a counterbore as deep as the plate": (
        "no-floor", "error", "/plate/thickness",
        {"/plate/mounting": SLOTS, "/plate/thickness": "17.5 mm"},
        {"/plate/mounting": SLOTS, "/plate/thickness": "17.6 mm"},
    ),
    "a plate longer than the machine travels": (
        "beyond-travel", "error", "/plate/length", {"/plate/length": "1600.1 mm"}, {"/plate/length": "1600 mm"},
    ),
    "a plate wider than the machine travels": (
        "beyond-travel", "error", "/plate/width",
        {"/plate/length": "700 mm", "/plate/width": "1600.1 mm"},
        {"/plate/length": "700 mm", "/plate/width": "1600 mm"},
    ),
    "a blank heavier than the table bears": (
        # 2.4 m x 1.2 m x 4 in of steel at 7850 kg/m3 is 2.3 t; the machine bears 1.5 t.
        "beyond-load", "error", "/plate/thickness",
        {**SHORT, "/plate/length": "2394 mm", "/plate/width": "1194 mm", "/plate/thickness": "99 mm"},
        {**SHORT, "/plate/length": "1600 mm", "/plate/width": "790 mm", "/plate/thickness": "99 mm"},
    ),
    "a slot that no T-nut fits": (
        "unknown-slot", "caution", "/plate/mounting/slot_width",
        {"/plate/mounting": {**SLOTS, "slot_width": "18.2 mm"}},
        {"/plate/mounting": {**SLOTS, "slot_width": "18.09 mm"}},
    ),
    "a screw that the slot's T-nut does not take": (
        "slot-screw", "error", "/plate/mounting/screw",
        {"/plate/mounting": {**SLOTS, "screw": "M12"}}, {"/plate/mounting": SLOTS},
    ),
    "a tolerance tighter than the machine holds": (
        "too-tight", "error", "/plate/position_tolerance",
        {"/plate/position_tolerance": "0.0099 mm"}, {"/plate/position_tolerance": "0.01 mm"},
    ),
    "a finish that the material does not take": (
        "finish-material", "error", "/plate/finish",
        {"/plate/material": "steel-1018", "/plate/finish": "anodized"},
        {"/plate/material": "steel-1018", "/plate/finish": "black-oxide"},
    ),
    # 23 kg is the load constant of the revised NIOSH lifting equation (Waters et al., Applications Manual for the
    # Revised NIOSH Lifting Equation, 1994; from memory). 700 x 450 mm of 2700 kg/m3 reach it at 27.043 mm.
    "more than one person lifts": (
        "heavy", "caution", "/plate/thickness",
        {"/plate/thickness": "27.05 mm"}, {"/plate/thickness": "27.04 mm"},
    ),
    # 20 characters of 4 mm need 80 mm.
    "a text longer than its side": (
        "text-too-long", "error", "/plate/marking/text",
        {**SIDE, "/plate/length": "79.9 mm"}, {**SIDE, "/plate/length": "80 mm"},
    ),
    # The only column of so short a plate is engraved along the bottom: its A takes 4 mm more.
    "a text beside coordinates": (
        "text-too-long", "error", "/plate/marking/text",
        {**SIDE, "/plate/length": "83.9 mm", "/plate/marking/text_side": "bottom"},
        {**SIDE, "/plate/length": "84 mm", "/plate/marking/text_side": "bottom"},
    ),
    "a text along the other sides": (
        "text-too-long", "error", "/plate/marking/text",
        {**SIDE, "/plate/width": "79.9 mm", "/plate/marking/text_side": "right"},
        {**SIDE, "/plate/width": "80 mm", "/plate/marking/text_side": "right"},
    ),
    "a position that makes way": (
        "given-up", "note", "/plate/pattern", {"/plate/mounting": SLOTS}, {"/plate/mounting": {"surface": "none"}},
    ),
}  # fmt: skip


@pytest.mark.parametrize(("code", "severity", "pointer", "case", "neighbour"), CASES.values(), ids=CASES)
def test_a_finding_stands_in_its_case_and_not_in_the_neighbour(
    code: str, severity: str, pointer: str, case: dict[str, Any], neighbour: dict[str, Any]
) -> None:
    finding = findings(case)[code]
    assert (finding["severity"], finding["pointer"]) == (severity, pointer)
    assert finding["message"]
    assert finding["source"]
    assert code not in findings(neighbour)


def test_a_budget_is_exceeded_by_the_first_cent_and_not_met_to_the_cent() -> None:
    total = answer()["total"]
    whole, cents = total.split(".")
    short = f"{whole}.{int(cents) - 1:02d}" if int(cents) else f"{int(whole) - 1}.99"
    assert "over-budget" not in findings({"/budget": f"{total} USD"})
    finding = findings({"/budget": f"{short} USD"})["over-budget"]
    assert (finding["severity"], finding["pointer"]) == ("caution", "/budget")
    assert finding["message"] == "the total is 0.01 USD above the budget"


def test_a_plate_is_late_on_the_day_before_it_is_ready_and_not_on_the_day() -> None:
    ready = date.fromisoformat(answer()["lead_time"]["ready_on"])
    assert "late" not in findings({"/need_by": ready.isoformat()})
    finding = findings({"/need_by": ready.replace(day=ready.day - 1).isoformat()})["late"]
    assert (finding["severity"], finding["pointer"]) == ("caution", "/need_by")
    assert ready.isoformat() in finding["message"]


def test_a_rush_is_found_idle_where_the_order_is_made_no_sooner_than_in_its_turn() -> None:
    rushed = {"/services": {"rush": True}}
    assert "rush-saves-nothing" not in findings(rushed)
    assert answer(rushed)["lead_time"]["working_days"] < answer()["lead_time"]["working_days"]
    large = {**rushed, "/quantity": 5000}
    finding = findings(large)["rush-saves-nothing"]
    assert (finding["severity"], finding["pointer"]) == ("caution", "/services/rush")
    days = answer({"/quantity": 5000})["lead_time"]["working_days"]
    assert f"{days} working days either way" in finding["message"]
    assert answer(large)["lead_time"]["working_days"] == days
    assert "rush-saves-nothing" not in findings({"/quantity": 5000})


def test_errors_come_first_then_cautions_then_notes() -> None:
    changes = {"/plate/finish": "black-oxide", "/budget": "1 USD", "/plate/position_tolerance": "0.001 mm"}
    severities = [finding["severity"] for finding in answer(changes)["findings"]]
    assert set(severities) == {"error", "caution", "note"}
    assert severities == sorted(severities, key=["error", "caution", "note"].index)


@pytest.mark.parametrize("pitch", ["10 mm", "16 mm"])
def test_a_plate_that_cannot_be_made_still_has_a_price(pitch: str) -> None:
    changes = {"/plate/pattern/pitch": pitch}
    assert "thin-wall" in findings(changes)
    assert float(answer(changes)["total"]) > 0


def test_a_bushing_longer_than_the_plate_is_thick_is_found_in_locating_holes_too() -> None:
    # An M12 bushing is 16 mm long.
    pattern = {"arrangement": "separate", "screw": "M12", "locating": {"pitch": "70 mm"}, "tapped": {"pitch": "70 mm"}}
    thin = {**FREE, "/plate/pattern": pattern, "/plate/thickness": "15 mm"}
    assert "no-floor" in findings(thin)
    assert "no-floor" not in findings({**thin, "/plate/thickness": "20 mm"})
