"""Open questions: which there are, in which order, in which words, and what their answers come to."""

from decimal import Decimal
from typing import Any, Final

import pytest
from msgspec.structs import replace

import tallyplate
from tallyplate.contract import Refusal
from tallyplate.tradeoffs.questions.bounds import MOST_PLATES
from tests.plates import installation
from tests.tradeoffs.odd import odd_shop
from tests.tradeoffs.questions import answering, asked, asked_of, at, priced, span, total

SIZED: Final = {"family": "rectangular", "length": "480 mm", "width": "400 mm", "material": "al-6061-t6"}
OF_A_PLATE: Final = {
    "/plate/length",
    "/plate/width",
    "/plate/thickness",
    "/plate/material",
    "/plate/pattern/arrangement",
    "/plate/pattern/pitch",
    "/plate/pattern/screw",
    "/plate/mounting/surface",
    "/plate/mounting/slot_width",
    "/plate/mounting/slot_spacing",
    "/plate/mounting/locate",
    "/plate/mounting/screw",
    "/plate/marking/edges",
    "/plate/position_tolerance",
    "/plate/finish",
    "/quantity",
    "/need_by",
    "/budget",
}
"""What a customer is asked about a plate on a T-slot table, at least."""


def _pointers(answer: Any) -> list[str]:
    return [one["pointer"] for one in answer["open"]]


def test_of_nothing_the_kind_of_plate_is_asked_first_then_what_there_is_no_price_without() -> None:
    answer = asked({})
    pointers = _pointers(answer)
    assert pointers[0] == "/plate/family"
    assert pointers[1] == "/plate/material"
    assert {"/plate/finish", "/plate/position_tolerance", "/quantity", "/need_by", "/budget"} <= set(pointers)
    assert not {"/plate/length", "/plate/diameter"} & set(pointers), (
        "what only one family asks for waits for the family"
    )
    assert priced(answer["open"][0]).keys() == installation().families.keys()
    assert answer["given"] == {}


@pytest.mark.parametrize("family", ["rectangular", "rework", "round", "tombstone"])
def test_a_family_asks_for_its_own_sizes_in_its_own_words(family: str) -> None:
    answer = asked_of({"family": family})
    own = {one.pointer: one for one in installation().families[family].questions}
    for one in answer["open"]:
        if one["pointer"] in own:
            assert one["question"] == own[one["pointer"]].ask
            assert one["why"] == own[one["pointer"]].why
    needed = [one for one in answer["open"] if one["needed"]]
    assert {one["pointer"] for one in needed} > {"/plate/material"}
    assert answer["open"][: len(needed)] == needed
    assert all("supposed" in one and "usual" not in one for one in needed)


def test_all_that_a_customer_is_asked_is_asked_and_can_be_read_out() -> None:
    answer = asked_of({"family": "rectangular"})
    assert set(_pointers(answer)) >= OF_A_PLATE
    for one in answer["open"]:
        assert one["question"].endswith("?")
        assert one["why"].endswith(".")
        assert ("choices" in one) != ("range" in one)
        assert "_" not in one["question"] + one["why"]
        for choice in one.get("choices", ()):
            assert choice["words"]


def test_where_the_lattice_starts_is_worked_out_and_not_asked() -> None:
    pointers = _pointers(asked_of(SIZED | {"pattern": {"arrangement": "separate"}}))
    assert "/plate/pattern/tapped/pitch" in pointers
    assert not [one for one in pointers if one.endswith(("/margin", "/x", "/y"))]


def test_what_is_left_over_is_asked_for_where_the_shop_says_where_it_usually_lies() -> None:
    here = installation()
    shop = replace(here.shops[-1], usual=replace(here.shops[-1].usual, laid_from="shared"))
    sized = {"plate": SIZED | {"pattern": {"pitch": "60 mm", "margin": "30 mm"}}}
    assert "/plate/pattern/laid_from" not in _pointers(asked(sized))
    stating = tallyplate.Installation(here.families, here.modules, here.cards, (shop,), here.versions)
    question = at(asked(sized, stating), "/plate/pattern/laid_from")
    assert question["usual"] == "shared"
    assert "at the far edges" in question["question"]
    assert {one["value"] for one in question["choices"]} == {"margin", "shared", "centre", "table"}


def test_soft_and_hard_metal_are_told_apart() -> None:
    words = {one["value"]: one["words"] for one in at(asked({}), "/plate/material")["choices"]}
    assert words["al-6061-t6"] == "Aluminium 6061-T6, soft metal"
    assert words["steel-4140"].endswith("hard metal")


def test_what_is_given_is_not_asked_and_what_it_leaves_without_meaning_neither() -> None:
    answer = asked_of(SIZED | {"mounting": {"surface": "tapped_grid"}}, quantity=2)
    pointers = _pointers(answer)
    assert "/plate/mounting/grid_pitch" in pointers
    assert not {"/plate/mounting/surface", "/plate/mounting/slot_width", "/plate/length", "/quantity"} & set(pointers)
    assert answer["given"]["/plate/mounting/surface"] == "tapped_grid"
    assert answer["price"]["quantity"] == 2


def test_questions_stand_by_whether_they_are_needed_can_make_it_impossible_and_by_the_money_they_decide() -> None:
    for answer in (asked({}), asked_of({"family": "tombstone"}), asked_of(SIZED)):
        keys = [(not one["needed"], not one["impossible"], -Decimal(one["decides"])) for one in answer["open"][1:]]
        assert keys == sorted(keys)
        for one in answer["open"]:
            assert Decimal(one["decides"]) == Decimal(one["highest"]) - Decimal(one["lowest"])


def test_the_totals_of_answers_are_the_prices_of_the_request_with_them() -> None:
    answer = asked_of(SIZED, quantity=2)
    for one in answer["open"]:
        if "choices" not in one:
            continue
        known = priced(one)
        assert Decimal(one["lowest"]) == min(known.values())
        assert Decimal(one["highest"]) == max(known.values())
        value, expected = next(iter(known.items()))
        assert total(answering({"plate": SIZED, "quantity": 2}, one["pointer"], value)) == expected
    assert Decimal(answer["price"]["usual"]) == total({"plate": SIZED, "quantity": 2})


def test_an_answer_that_cannot_be_made_says_why_as_its_findings_do() -> None:
    question = at(asked_of(SIZED), "/plate/mounting/screw")
    wrong = {one["value"]: one["why"] for one in question["impossible"]}
    assert wrong["M10"] == "M10 holding screws do not go with a slot of 18 mm, to which the standard gives M16"
    assert question["usual"] not in wrong


def test_an_answer_that_is_refused_has_no_price_and_is_told() -> None:
    question = at(asked_of(SIZED | {"pattern": {"pitch": "40 mm"}}), "/plate/pattern/arrangement")
    (separate,) = [one for one in question["impossible"] if one["value"] == "separate"]
    assert separate["why"].startswith("pitch: a separate arrangement states it in each lattice")
    assert "separate" not in priced(question)


def test_a_size_beyond_all_stock_is_asked_for_up_to_what_can_be_had() -> None:
    plate = {"family": "tombstone", "material": "al-6061-t6", "faces": 6, "face_width": "400 mm"}
    tried = priced(at(asked_of(plate), "/plate/height"))
    longest = list(tried)[-1]
    assert longest not in {"300 mm", "450 mm", "600 mm", "750 mm"}
    further = f"{float(longest.split()[0]) + 2:g} mm"
    with pytest.raises(Refusal, match="no stock"):
        total({"plate": plate | {"height": further}})


def test_fields_of_one_family_leave_only_that_family() -> None:
    answer = asked_of({"diameter": "400 mm"})
    family = at(answer, "/plate/family")
    assert {one["value"] for one in family["impossible"]} == {"rectangular", "rework", "tombstone"}
    assert set(priced(family)) == {"round"}
    assert "/plate/thickness" in _pointers(answer)


def test_with_nothing_open_the_range_is_the_price() -> None:
    answer = asked_of(SIZED)
    request: dict[str, Any] = {"plate": SIZED, "quantity": 2, "need_by": "2026-05-01", "budget": "9000.00 USD"}
    for one in answer["open"]:
        if one["pointer"].startswith(("/plate", "/services")):
            request = answering(request, one["pointer"], one["usual"])
    last = asked(request)
    assert last["open"] == []
    assert span(last) == (total(request), total(request))


def test_the_earliest_day_is_the_usual_answer_to_when_and_the_usual_total_to_how_much() -> None:
    answer = asked_of(SIZED)
    price = installation().price({"plate": SIZED, "as_of": "2026-03-02"})
    assert at(answer, "/need_by")["usual"] == price.lead_time.ready_on.isoformat()
    assert at(answer, "/budget")["range"]["least"] == f"{price.total} USD"


def test_work_is_bounded_and_counted() -> None:
    assert 0 < asked({})["plates_tried"] <= len(installation().families) * MOST_PLATES
    assert asked_of({"family": "tombstone"})["plates_tried"] < MOST_PLATES / 2
    assert asked_of(SIZED)["plates_tried"] < MOST_PLATES / 2


def test_the_search_ends_where_its_bound_is_reached(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tallyplate.tradeoffs.questions.bounds.MOST_PLATES", 10)
    few = asked({"plate": SIZED, "quantity": 7}, installation())
    assert few["plates_tried"] < 250
    assert few["open"]


def test_a_family_that_nobody_here_has_seen_is_asked_for_by_its_titles() -> None:
    answer = asked({"plate": {"family": "odd", "material": "al-6061-t6"}}, odd_shop())
    side = at(answer, "/plate/side")
    assert side["needed"]
    assert side["question"] == "What shall the side be?"
    assert side["range"]["least"] == "150 mm"
    grade = at(answer, "/plate/grade")
    assert [one["value"] for one in grade["choices"]] == ["plain", "tool-room"]
    assert grade["usual"] == "plain"
    assert Decimal(grade["decides"]) > 0
    assert at(answer, "/plate/name_plate")["question"] == "Name plate: yes or no?"


@pytest.mark.parametrize(
    ("request_", "pointers"),
    [
        ([], {""}),
        ({"plate": 3}, {"/plate"}),
        ({"plate": {"family": "cheese"}}, {"/plate/family"}),
        ({"colour": 1, "quantity": 0, "plate": {"width": 600}}, {"/colour", "/quantity", "/plate/width"}),
        ({"plate": {"family": "round", "length": "3 in"}}, {"/plate/length"}),
        ({"plate": {"family": "rectangular", "length": "9 m"}}, {"/plate/length"}),
        ({"plate": {"family": "rectangular", "material": "cheese"}}, {"/plate/material"}),
        ({"budget": "12.00 EUR"}, {"/budget"}),
        ({"plate": {"width": "400 mm", "diameter": "3 mm"}}, {"/plate/diameter"}),
    ],
)
def test_what_cannot_become_a_plate_is_refused_by_field(request_: Any, pointers: set[str]) -> None:
    with pytest.raises(Refusal) as refused:
        asked(request_)
    assert {fault.pointer for fault in refused.value.faults} == pointers


REWORK: Final = {"family": "rework", "length": "600 mm", "width": "400 mm", "thickness": "20 mm", "material": "acetal"}


def test_what_shall_be_done_to_a_plate_that_exists_is_asked_before_all_that_has_a_usual_answer() -> None:
    to_do = "/plate/pattern/pitch"
    answer = asked_of({"family": "rework"})
    needed = [one["pointer"] for one in answer["open"] if one["needed"]]
    assert answer["open"][len(needed)]["pointer"] == to_do
    question = at(answer, to_do)
    assert "single holes" in question["question"]
    assert "bushings" in question["question"]
    assert "usual" not in question
    assert "supposed" not in question
    for done in ({"bushings": [{"screw": "M12", "count": 8}]}, {"holes": [HOLE]}):
        assert to_do not in [one["pointer"] for one in asked_of(REWORK | done)["open"]]


HOLE: Final = {"kind": "tapped", "screw": "M12", "at": [{"x": "40 mm", "y": "40 mm"}]}


def test_no_answer_on_what_an_existing_plate_is_is_said_to_be_impossible_for_what_stands_in_it() -> None:
    holes = {"pattern": {"screw": "M16", "pitch": "60 mm"}}
    new = {"family": "rectangular", "length": "600 mm", "width": "400 mm", "material": "al-6061-t6", **holes}
    assert at(asked_of(new), "/plate/thickness")["impossible"]
    exists = asked_of({"family": "rework", "length": "600 mm", "width": "400 mm", "material": "al-6061-t6", **holes})
    assert at(exists, "/plate/thickness")["impossible"] == []
    assert exists["findings"]


def test_what_can_be_one_thing_only_is_not_asked() -> None:
    plate = {"family": "rectangular", "length": "600 mm", "width": "400 mm"}
    assert len(at(asked_of(plate | {"material": "al-6061-t6"}), "/plate/finish")["choices"]) > 1
    acetal = asked_of(plate | {"material": "acetal"})
    assert "/plate/finish" not in [one["pointer"] for one in acetal["open"]]
    for one in acetal["open"]:
        assert "choices" not in one or len(one["choices"]) > 1


CAST: Final = (
    "made from: Mild steel 1018 is not cast; accepted: stock, or of Cast aluminium tooling plate, Grey cast iron"
)


@pytest.mark.parametrize(
    ("plate", "pointer", "value", "why"),
    [
        (
            {"family": "rectangular", "mounting": {"screw": "M12"}},
            "/plate/mounting/surface",
            "none",
            "the holding screw has no meaning on surface none; accepted: leave it out",
        ),
        ({"handles": "none"}, "/plate/family", "round", "it has no handles"),
        (
            {"family": "tombstone", "material": "steel-1018"},
            "/plate/made_from",
            "casting",
            CAST,
        ),
    ],
)
def test_why_an_answer_is_impossible_is_said_without_pointers_and_ids(
    plate: dict[str, Any], pointer: str, value: str, why: str
) -> None:
    (found,) = [one["why"] for one in at(asked_of(plate), pointer)["impossible"] if one["value"] == value]
    assert found == why


def test_several_things_are_listed_as_a_person_does() -> None:
    choices = at(asked_of(SIZED), "/plate/marking/edges")["choices"]
    assert [one["words"] for one in choices] == ["none", "left and bottom", "left, right, bottom and top"]


def test_the_thread_of_lifting_holes_is_asked_for_in_a_question() -> None:
    question = at(asked_of(SIZED | {"lifting_holes": "two"}), "/plate/lifting_screw")
    assert question["question"] == "Which thread shall the lifting holes have?"


@pytest.mark.parametrize("material", ["al-7075-t6", "al-6061-t6", "steel-1018"])
def test_a_material_widens_no_range_by_a_finish_that_it_alone_takes(material: str) -> None:
    plate = {"family": "rework", "length": "300 mm", "bushings": [{"screw": "M12", "count": 8}]}
    (lowest, highest), (later_lowest, later_highest) = (
        span(asked_of(one)) for one in (plate, plate | {"material": material})
    )
    assert lowest <= later_lowest <= later_highest <= highest
