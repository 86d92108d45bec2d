"""Patterns as dense as anybody may ask for take no more work than others: nothing is done hole by hole for them."""

import sys
from contextlib import suppress
from typing import Any

import pytest

from tallyplate.contract import Refusal
from tests.plates import installation

MOST_CALLS = 150_000
"""Python calls that a price may take, with all its mends tried: an ordinary plate takes some thousand of them."""

FLAT = {"family": "rectangular", "length": "390 mm", "width": "540 mm", "material": "al-6061-t6"}
BLOCK = {"family": "tombstone", "faces": 4, "face_width": "400 mm", "height": "600 mm", "material": "steel-1018"}
SLOTS = {"surface": "t_slots", "slot_spacing": "88 mm"}
TABLE = {"surface": "tapped_grid", "grid_pitch": "137 mm", "locate": "keys"}
LONG = {"length": "1390 mm", "width": "210 mm"}

DENSE: dict[str, dict[str, Any]] = {
    "one lattice under keys": {
        **FLAT,
        "pattern": {"arrangement": "combination"},
        "mounting": {**SLOTS, "locate": "keys"},
    },
    "round corners": {**FLAT, "pattern": {"arrangement": "combination"}, "corner_radius": "30 mm", "mounting": TABLE},
    "rows alone": {**FLAT, "pattern": {"pitch": "36 mm"}, "mounting": TABLE},
    "columns alone": {**FLAT, "pattern": {"pitch_across": "36 mm"}, "mounting": {**SLOTS, "locate": "pins"}},
    "staggered": {**FLAT, "pattern": {"arrangement": "combination", "staggered": True}, "mounting": SLOTS},
    "beside an open one": {
        **FLAT,
        **LONG,
        "pattern": {"tapped": {"pitch": "35 mm"}, "locating": {}},
        "mounting": SLOTS,
    },
    "under an open one": {**FLAT, **LONG, "pattern": {"tapped": {}, "locating": {"pitch": "35 mm"}}, "mounting": TABLE},
    "a block": {**BLOCK, "pattern": {"arrangement": "combination", "pitch_across": "120 mm", "margin": "40 mm"}},
    "a block of two lattices": {**BLOCK, "pattern": {"locating": {"margin": "40 mm"}, "tapped": {"pitch": "35 mm"}}},
    "a disc": {
        "family": "round",
        "diameter": "300 mm",
        "material": "acetal",
        "pattern": {"arrangement": "combination"},
    },
}


def _plate(kind: str, pitch: str) -> dict[str, Any]:
    """The plate with the pitch wherever none is stated."""
    plate = DENSE[kind]
    pattern = {"screw": "M12", **plate["pattern"]}
    if "locating" in pattern:
        pattern["arrangement"] = "separate"
        pattern |= {name: {"pitch": pitch, **pattern[name]} for name in ("locating", "tapped")}
    elif kind == "rows alone":
        pattern["pitch_across"] = pitch
    else:
        pattern = {"pitch": pitch, **pattern}
    return {**plate, "pattern": pattern}


def _calls(plate: dict[str, Any]) -> int:
    made = 0

    def counted(_: object, event: str, __: object) -> None:
        nonlocal made
        made += event == "call"

    before = sys.getprofile()
    sys.setprofile(counted)
    try:
        with suppress(Refusal):
            installation().price({"plate": plate})
    finally:
        sys.setprofile(before)
    return made


@pytest.mark.parametrize("pitch", ["8 mm", "1.1 mm", "0.5 mm", "0.1 mm", "0.003 mm"])
@pytest.mark.parametrize("kind", DENSE)
def test_work_does_not_grow_with_how_dense_a_pattern_is(kind: str, pitch: str) -> None:
    assert _calls(_plate(kind, pitch)) < MOST_CALLS
