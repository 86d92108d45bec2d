"""The note on positions that make way tells every hole that is lost, whichever lattice it was in."""

import re
from typing import Any

import pytest

from tests.plates import built, findings

SLOTS: dict[str, Any] = {"surface": "t_slots", "slot_width": "18 mm", "slot_spacing": "100 mm", "screw": "M16"}
PATTERNS: dict[str, dict[str, Any]] = {
    "alternating": {"/plate/pattern": {"pitch": "35 mm", "screw": "M12", "margin": "35 mm"}},
    "combination": {"/plate/pattern": {"arrangement": "combination", "screw": "M10", "pitch": "25 mm"}},
    "separate": {
        "/plate/pattern": {"arrangement": "separate", "screw": "M12", "locating": {"pitch": "30 mm", "margin": "20 mm"}}
    },
    "separate, of two pitches": {
        "/plate/pattern": {
            "arrangement": "separate",
            "screw": "M10",
            "locating": {"pitch": "60 mm", "margin": "25 mm"},
            "tapped": {"pitch": "25 mm", "margin": "25 mm", "origin": {"x": "40 mm", "y": "40 mm"}},
        }
    },
    "all of it": {
        "/plate/length": "120 mm",
        "/plate/width": "60 mm",
        "/plate/mounting/locate": "none",
        "/plate/pattern": {"arrangement": "combination", "screw": "M10", "pitch": "76 mm", "margin": "22 mm"},
    },
}


def _pattern_holes(changes: dict[str, Any]) -> int:
    return sum(group.count for group in built(changes).holes if not group.mounting)


@pytest.mark.parametrize("pattern", PATTERNS.values(), ids=PATTERNS)
def test_the_positions_told_are_as_many_as_the_holes_lost(pattern: dict[str, Any]) -> None:
    mounted = {"/plate/mounting": SLOTS, **pattern}
    lost = _pattern_holes({**pattern, "/plate/mounting": {"surface": "none"}}) - _pattern_holes(mounted)
    assert lost > 0
    assert re.findall(r"\d+", findings(mounted)["given-up"]["message"])[0] == str(lost)


def test_the_first_dozen_are_named_as_they_would_be_engraved_and_the_rest_counted() -> None:
    message = findings({"/plate/mounting": SLOTS, **PATTERNS["alternating"]})["given-up"]["message"]
    names = re.findall(r"\b[A-Z]+\d+\b", message)
    lost = {node for group in built({"/plate/mounting": SLOTS}).holes for node in getattr(group.layout, "without", ())}
    assert names
    assert set(names) <= {f"{chr(ord('A') + column)}{row + 1}" for column, row in lost}
