"""What no plate has, whatever its family lets pass, is refused: sides too small, and too many holes in all."""

from typing import Any

import pytest

from tallyplate.contract import MAX_HOLES, Pattern, Refusal
from tests.plates import answer, installation, request

DENSE = {"pitch": "1 mm"}
FLAT = {
    "family": "rectangular",
    "length": "2380 mm",
    "width": "1150 mm",
    "material": "steel-1018",
    "mounting": {"surface": "none"},
}
BLOCK = {"family": "tombstone", "faces": 4, "face_width": "300 mm", "height": "500 mm", "material": "steel-1018"}


def refused(plate: dict[str, Any]) -> dict[str, str]:
    """What is refused of a plate, by field."""
    with pytest.raises(Refusal) as found:
        installation().price({"plate": plate})
    return {fault.pointer: fault.message for fault in found.value.faults}


@pytest.mark.parametrize("small", ["0.0001 mm", "1 um", "0.999 mm"])
@pytest.mark.parametrize("side", ["length", "width", "thickness"])
def test_a_side_of_less_than_a_millimetre_is_refused_by_its_field(side: str, small: str) -> None:
    plate = request({f"/plate/{side}": small, "/plate/pattern": {"margin": "0.1 um"}})["plate"]
    assert f"/plate/{side}" in refused({**plate, "mounting": {"surface": "none"}})


def test_a_disc_names_its_one_size_once() -> None:
    disc = {"family": "round", "diameter": "0.5 mm", "material": "acetal"}
    assert refused(disc)["/plate/diameter"] == "0.5 mm is too small; accepted: at least 1 mm"


def test_a_thin_plate_is_priced_with_what_is_wrong_with_it() -> None:
    assert answer({"/plate/thickness": "1 mm"})["findings"][0]["severity"] == "error"


@pytest.mark.parametrize(
    ("plate", "field"),
    [
        (
            {
                **FLAT,
                "pattern": {"arrangement": "separate", "screw": "M12", "locating": DENSE, "tapped": DENSE},
            },
            "/plate/pattern",
        ),
        ({**BLOCK, "pattern": {"pitch": "0.24 mm", "screw": "M12"}}, "/plate/pattern"),
    ],
    ids=["two lattices", "four faces"],
)
def test_holes_are_counted_over_the_whole_plate(plate: dict[str, Any], field: str) -> None:
    message = refused(plate)[field]
    assert message.endswith(f"holes in all; accepted: at most {MAX_HOLES} on a plate")


def test_the_most_holes_are_published_where_a_pitch_is_asked_for() -> None:
    assert f"at most {MAX_HOLES:,} holes" in str(Pattern.__annotations__["pitch"])


@pytest.mark.parametrize(
    ("mounting", "field", "least"),
    [
        ({"surface": "t_slots", "slot_width": "18 mm", "slot_spacing": "18 mm"}, "slot_spacing", "18 mm"),
        ({"surface": "tapped_grid", "grid_pitch": "0.001 mm", "screw": "M12"}, "grid_pitch", "12 mm"),
    ],
)
def test_lines_of_a_table_leave_something_between_them(mounting: dict[str, Any], field: str, least: str) -> None:
    plate = request({"/plate/mounting": mounting})["plate"]
    assert refused(plate)[f"/plate/mounting/{field}"].endswith(f"accepted: more than {least}")
