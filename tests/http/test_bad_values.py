"""Values that no field takes: one answer names each bad field, what stands there and what is accepted."""

from typing import Any

import pytest

from tallyplate.decoding import shown
from tests.http.problem import problem
from tests.plates import request
from tests.serving import Ask

LENGTHS = (
    "/plate/length", "/plate/width", "/plate/thickness", "/plate/position_tolerance", "/plate/flatness",
    "/plate/pattern/pitch", "/plate/pattern/margin", "/plate/pattern/origin/x", "/plate/pattern/origin/y",
    "/plate/pattern/locating/pitch", "/plate/pattern/tapped/pitch",
    "/plate/mounting/slot_width", "/plate/mounting/slot_spacing", "/plate/mounting/grid_pitch",
)  # fmt: skip
NAMES = ("/plate/material", "/plate/finish", "/plate/pattern/screw", "/plate/mounting/screw")
CHOICES = {
    "/plate/pattern/arrangement": "alternating, combination, separate",
    "/plate/mounting/surface": "t_slots, tapped_grid, none",
    "/plate/mounting/locate": "pins, retractable_pins, keys, none",
}
SWITCHES = ("/plate/pattern/bushings", "/plate/pattern/thread_inserts")

NO_LENGTHS: dict[str, str] = {
    "an empty text": "",
    "blanks": "   ",
    "a number without a unit": "600",
    "a unit without a number": "mm",
    "an unknown unit": "600 parsec",
    "a unit in capitals": "600 MM",
    "a negative length": "-5 mm",
    "a signed length": "+5 mm",
    "an exponent": "6e2 mm",
    "a denormal": "5e-324 mm",
    "no number": "NaN mm",
    "infinity": "inf mm",
    "a decimal comma": "1,5 mm",
    "grouped digits": "1_000 mm",
    "other digits": "\u0663\u0660 mm",
    "a full-width unit": "30 \uff4d\uff4d",
    "a leading blank": " 600 mm",
    "a trailing newline": "600 mm\n",
    "a tab for a blank": "600\tmm",
    "a nul": "600\0mm",
    "a power tower": "9**9**9 in",
    "an expression": "600 mm + 1 mm",
    "division by zero": "1/0 in",
    "two fractions": "1/2/3 in",
    "too long a text": "0" * 26 + "600 mm ",
    "a very long text": "6" * 3_000 + " mm",
}
OUT_OF_RANGE = ("0 mm", "0/7 in", "0.00009 mm", "100001 mm", "100.001 m", "999999999 m", "999999/1 ft")
WRONG_TYPES: tuple[Any, ...] = (600, 600.5, -1, 0, 5e-324, 1e308, 10**18, True, None, [], {}, ["600 mm"], {"mm": 600})


def _refused(ask: Ask, changes: dict[str, Any]) -> dict[str, str]:
    """The errors of the good request with these changes, which must be at exactly these places."""
    errors = problem(ask("POST", "/v1/prices", json=request(changes)), 422, "invalid-request")
    assert set(errors) == set(changes)
    return errors


@pytest.mark.parametrize("text", NO_LENGTHS.values(), ids=NO_LENGTHS)
def test_a_text_that_is_no_length_is_refused_wherever_a_length_stands(ask: Ask, text: str) -> None:
    for message in _refused(ask, dict.fromkeys(LENGTHS, text)).values():
        assert repr(text)[1:20] in message
        assert '"600 mm"' in message
        assert len(message) < 300


@pytest.mark.parametrize("text", OUT_OF_RANGE)
def test_a_length_beyond_sense_is_refused_with_the_range_that_is_accepted(ask: Ask, text: str) -> None:
    for message in _refused(ask, dict.fromkeys(LENGTHS, text)).values():
        assert text in message
        assert "between 0.0001 mm and 100 m" in message


@pytest.mark.parametrize("value", WRONG_TYPES, ids=repr)
def test_anything_but_text_is_no_length(ask: Ask, value: Any) -> None:
    for message in _refused(ask, dict.fromkeys(LENGTHS, value)).values():
        assert ("has no unit" if type(value) in {int, float} else "is no length") in message
        assert message.startswith(shown(value))
        assert '"600 mm"' in message


@pytest.mark.parametrize(
    "value", ["", 7, None, True, [], {}, "x" * 61, "x" * 5_000], ids=lambda value: repr(value)[:20]
)
def test_a_name_is_a_text_of_sensible_length(ask: Ask, value: Any) -> None:
    for message in _refused(ask, dict.fromkeys(NAMES, value)).values():
        assert message.startswith(shown(value)[:20])
        assert message.partition("; accepted: ")[2] in {"text", "at least 1", "at most 60"}
        assert len(message) < 300


@pytest.mark.parametrize(
    "value", ["", "sideways", 7, None, True, [], {}, "x" * 5_000], ids=lambda value: repr(value)[:20]
)
def test_a_choice_is_one_of_those_listed(ask: Ask, value: Any) -> None:
    for pointer, message in _refused(ask, dict.fromkeys(CHOICES, value)).items():
        assert message.startswith(shown(value)[:20])
        assert message.replace("'", "").endswith(f": {CHOICES[pointer]}")
        assert len(message) < 300


@pytest.mark.parametrize("value", ["yes", "true", 0, 1, None, []], ids=repr)
def test_a_switch_is_true_or_false(ask: Ask, value: Any) -> None:
    for message in _refused(ask, dict.fromkeys(SWITCHES, value)).values():
        assert message.startswith(shown(value))
        assert message.endswith("accepted: true or false")


@pytest.mark.parametrize(
    ("edges", "at"),
    [
        ("left", {""}),
        (None, {""}),
        (["left", "right", "bottom", "top", "left"], {""}),
        (["left", "up", 3, None, "top"], {"/1", "/2", "/3"}),
    ],
)
def test_marked_edges_are_each_checked_in_their_place(ask: Ask, edges: Any, at: set[str]) -> None:
    body = request({"/plate/marking/edges": edges})
    errors = problem(ask("POST", "/v1/prices", json=body), 422, "invalid-request")
    assert set(errors) == {f"/plate/marking/edges{index}" for index in at}


@pytest.mark.parametrize("value", [None, 7, "text", [], True], ids=repr)
def test_a_group_of_fields_is_an_object(ask: Ask, value: Any) -> None:
    groups = ("/plate/pattern", "/plate/mounting", "/plate/marking", "/pins")
    for message in _refused(ask, dict.fromkeys(groups, value)).values():
        assert message.startswith(shown(value))
        assert message.endswith("accepted: an object")
