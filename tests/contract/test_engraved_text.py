"""A text of the customer's own: where it goes, what is cut of it, and what is refused."""

from typing import Any

import pytest

from tallyplate.contract import Marks, Refusal
from tests.plates import answer, built, installation, request

BLOCK = {
    "plate": {"family": "tombstone", "faces": 4, "face_width": "250 mm", "height": "450 mm", "material": "al-6061-t6"}
}


def _texts(changes: dict[str, Any], base: dict[str, Any] | None = None) -> list[Marks]:
    return [one for one in built(changes, base).marks if one.text]


@pytest.mark.parametrize(
    ("edges", "side"),
    [
        (["left", "bottom"], "top"),
        (["top", "bottom"], "right"),
        (["top", "right"], "bottom"),
        (["top", "right", "bottom"], "left"),
        (["left", "right", "bottom", "top"], "top"),
    ],
)
def test_it_keeps_off_the_coordinates_where_a_side_is_free(edges: list[str], side: str) -> None:
    # Of "FX 10 B" five characters are cut.
    marking = {"edges": edges, "text": "FX 10 B"}
    assert _texts({"/plate/marking": marking}) == [Marks(side, 5, "FX 10 B")]
    assumed = {one["pointer"]: one["value"] for one in answer({"/plate/marking": marking})["assumed"]}
    assert assumed["/plate/marking/text_side"] == side


def test_it_stands_where_it_is_asked_for_and_nothing_is_assumed_then() -> None:
    marking = {"text": "FX-10", "text_side": "left"}
    assert _texts({"/plate/marking": marking}) == [Marks("left", 5, "FX-10")]
    assumed = {one["pointer"] for one in answer({"/plate/marking": marking})["assumed"]}
    assert "/plate/marking/text_side" not in assumed
    assert "/plate/marking/edges" in assumed


def test_a_block_bears_it_once_on_its_first_face() -> None:
    assert _texts({"/plate/marking": {"text": "FX-10"}}, BLOCK) == [Marks("face 1 top", 5, "FX-10")]


def test_a_plate_without_one_is_marked_as_ever_and_asked_for_no_side() -> None:
    assert _texts({}) == []
    assert "/plate/marking/text_side" not in {one["pointer"] for one in answer()["assumed"]}


@pytest.mark.parametrize("text", ["", " FX", "FX ", "FX\n", "FX\t1", "Ø12", "x" * 81, 12])
def test_what_cannot_be_engraved_is_refused_at_the_text(text: object) -> None:
    with pytest.raises(Refusal) as refused:
        installation().price(request({"/plate/marking/text": text}))
    assert [fault.pointer for fault in refused.value.faults] == ["/plate/marking/text"]


def test_eighty_characters_may_be_asked_for_and_more_of_them_never_cost_less() -> None:
    totals = [
        installation().price(request({"/plate/marking/text": "X" * many, "/quantity": 7})).total
        for many in (1, 2, 40, 80)
    ]
    amounts = [float(total) for total in totals]
    assert amounts == sorted(amounts)
    assert amounts[0] > float(installation().price(request({"/quantity": 7})).total)


@pytest.mark.parametrize(("count", "found"), [(25, False), (26, True)])
def test_on_a_disc_it_has_half_the_diameter(count: int, found: bool) -> None:
    # 200 mm across: a chord of 100 mm, and 4 mm a character.
    plate = {"family": "round", "diameter": "200 mm", "material": "al-5083", "marking": {"text": "X" * count}}
    codes = {one.code for one in installation().price({"plate": plate, "as_of": "2026-03-02"}).findings}
    assert ("text-too-long" in codes) is found
