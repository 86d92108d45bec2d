"""Effects of a family that this project has never seen: its choices come from its spec's type alone."""

from tests.tradeoffs.effects import at, curve, found
from tests.tradeoffs.odd import ASKED, odd_shop


def test_lists_yes_and_no_and_members_of_anybodys_spec_have_effects() -> None:
    answer = found(ASKED, odd_shop())
    assert list(at(answer, "/plate/grade")) == ["tool-room"]
    assert list(at(answer, "/plate/rows")) == [3]
    assert at(answer, "/plate/name_plate")[True]["words"] == "name plate: yes"
    assert list(at(answer, "/plate/labels")) == [(), ("front", "back")]
    assert {one["value"] for one in at(answer, "/plate/grade").values()} == {"plain"}


def test_what_the_spec_says_of_a_field_left_out_is_its_present_answer() -> None:
    answer = found(ASKED, odd_shop())
    assert {one["value"] for one in at(answer, "/plate/rows").values()} == {2}
    assert [one["value"] for one in at(answer, "/plate/marks").values()] == [[]]


def test_an_answer_that_nobody_said_shows_what_would_change_the_price() -> None:
    answer = found(ASKED, odd_shop())
    coat = at(answer, "/plate/coat")
    assert list(coat) == ["thick"]
    assert (coat["thick"]["value"], coat["thick"]["given"]) == (None, False)
    assert at(answer, "/plate/rim/raised")[True]["changes"] == {"/plate/rim/raised": True}


def test_what_is_no_list_has_no_effect_and_no_curve() -> None:
    answer = found(ASKED, odd_shop())
    pointers = {one["pointer"] for one in answer["effects"]}
    assert not pointers & {"/plate/side", "/plate/depth", "/plate/remark", "/plate/holes", "/plate/family"}
    assert [one["name"] for one in answer["curves"]] == ["quantity"]
    assert len(curve(answer, "quantity")) > 5


def test_a_name_that_means_something_else_elsewhere_is_taken_by_its_type() -> None:
    answer = found(ASKED, odd_shop())
    assert list(at(answer, "/plate/screw")) == ["left-handed"]
    assert set(at(answer, "/plate/thickness")) == {"thin", "thick"}
    assert not at(answer, "/plate/pitch")
    assert not at(answer, "/plate/quantity")


def test_a_refusal_of_a_neighbour_stands_in_its_place() -> None:
    asked = {**ASKED, "plate": {**ASKED["plate"], "rim": {"raised": True}}}
    refused = at(found(asked, odd_shop()), "/plate/name_plate")[True]
    assert refused["refused"] == [
        {"pointer": "/plate/name_plate", "message": "has no room on a raised rim; accepted: leave it out"}
    ]
    assert not {"total", "difference"} & set(refused)
