"""The papers of a rework tell that the plate exists, and what is pressed out of it and replaced."""

from typing import Any, Final

from tallyplate.documents.drawings.shapes import Text
from tests.documents.plates import drawn, schedule
from tests.plates import installation

ASKED: Final[dict[str, Any]] = {
    "plate": {
        "family": "rework",
        "length": "600 mm",
        "width": "400 mm",
        "thickness": "40 mm",
        "material": "al-6061-t6",
        "holes": [{"kind": "combination", "screw": "M12", "at": [{"x": "75 mm", "y": "75 mm"}]}],
        "bushings": [{"screw": "M12", "count": 8}, {"screw": "M16", "count": 3}],
    },
    "quantity": 2,
    "as_of": "2026-03-02",
}


def _notes(asked: dict[str, Any]) -> str:
    shapes = drawn(installation().build(asked)).shapes
    return " ".join(one.words for one in shapes if isinstance(one, Text) and one.layer == "NOTES")


def test_the_schedule_has_a_row_for_bushings_to_be_replaced_and_one_for_new_ones() -> None:
    found = schedule(installation().build(ASKED))["parts"]
    assert [(one["item"], one["designation"].partition(",")[0], one["each"], one["total"]) for one in found[1:]] == [
        ("Press-fit bushing", "M12", 1, 2),
        ("Replacement press-fit bushing", "M12", 8, 16),
        ("Replacement press-fit bushing", "M16", 3, 6),
    ]
    assert found[0]["item"] == "Plate that exists"
    assert "existing plate" in found[0]["designation"]


def test_the_drawing_tells_that_the_plate_exists_and_what_is_pressed_out() -> None:
    said = _notes(ASKED)
    assert "Rework: the plate exists and is not cut to size; what is drawn here is added to it." in said
    for count, screw in ((8, "M12"), (3, "M16")):
        assert f"Press out what is worn and fit {count} \u00d7 replacement press-fit bushing {screw}, " in said


def test_a_new_plate_says_nothing_of_rework() -> None:
    plain = {"family": "rectangular", "length": "600 mm", "width": "400 mm", "material": "al-6061-t6"}
    new = {**ASKED, "plate": plain}
    assert "Rework" not in _notes(new)
    assert "Press out" not in _notes(new)
    listed = [one["item"] for one in schedule(installation().build(new))["parts"]]
    assert listed[0] == "Stock"
    assert not [item for item in listed if item.startswith("Replacement")]
