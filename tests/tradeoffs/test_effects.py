"""Effects: what each choice is worth, to the cent, with the changes that a caller needs to make."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, reject, settings
from msgspec.structs import replace

from tallyplate.contract import Refusal
from tallyplate.http.effects import start
from tallyplate.tradeoffs import effects as under_test
from tallyplate.tradeoffs.effects import MOST_PRICES, effects
from tallyplate.tradeoffs.start import attempt
from tests.plates import ABSENT, MINIMAL, installation, request
from tests.strategies import Json, requests
from tests.tradeoffs.effects import REWORK, ROUND, at, found, price, with_changes

PLATE = request()
SEPARATE = request({"/plate/pattern": {"arrangement": "separate", "locating": {"pitch": "50 mm"}}})
STAGGERED = request(
    {
        "/plate/pattern": {
            "arrangement": "combination",
            "staggered": True,
            "pitch_across": "40 mm",
            "laid_from": "shared",
        }
    }
)
ZONED = request({"/plate/pattern": ABSENT, "/plate/zones": [{"length": "400 mm", "width": "450 mm", "pattern": {}}]})
UNMOUNTED = request({"/plate/mounting": {"surface": "none"}})


def _every_effect_is_true(asked: Json) -> None:
    answer = found(asked)
    assert answer["effects"]
    for one in answer["effects"]:
        changed = with_changes(asked, one["changes"])
        assert one["changes"][one["pointer"]] == one["neighbour"] != one["value"]
        priced = attempt(changed, price)
        if isinstance(priced, Refusal):
            # One that is tried names its first faults alone; `installation().price` looks for all.
            named = {fault["pointer"] for fault in one["refused"]}
            assert named
            assert named <= {fault.pointer for fault in priced.faults}
            assert "total" not in one
            assert not one["can_be_made"]
            continue
        errors = [finding.message for finding in priced.findings if finding.severity.value == "error"]
        assert (one["total"], one["unit_price"]) == (priced.total, priced.unit_price)
        assert Decimal(one["difference"]) == Decimal(priced.total) - Decimal(answer["total"])
        assert [finding["message"] for finding in one["errors"]] == errors
        assert one["can_be_made"] == (not errors)


@settings(max_examples=6)
@given(requests())
def test_every_effect_is_the_price_of_the_changed_request(asked: Json) -> None:
    try:
        price(asked)
    except Refusal:
        reject()
    _every_effect_is_true(asked)


@pytest.mark.parametrize(
    "asked", [PLATE, MINIMAL, SEPARATE, UNMOUNTED, ROUND, STAGGERED, ZONED], ids=lambda asked: str(asked)[:60]
)
def test_so_is_every_effect_of_plates_of_each_kind(asked: Json) -> None:
    _every_effect_is_true(asked)


def test_the_choices_of_a_plate_have_neighbours_of_the_shops_and_of_the_trades() -> None:
    answer = found(PLATE)
    here = installation().shops[0]
    assert list(at(answer, "/quantity")) == [1, 5, 10, 25]
    assert set(at(answer, "/plate/material")) == set(here.materials) - {"al-6061-t6"}
    assert set(at(answer, "/plate/finish")) == {"plain", "hard-anodized"}
    assert set(at(answer, "/plate/pattern/screw")) == set(here.screws) - {"M12"}
    assert list(at(answer, "/plate/pattern/pitch")) == ["30 mm", "40 mm"]
    assert list(at(answer, "/plate/position_tolerance")) == ["0.02 mm", "0.05 mm"]
    # 40 mm stock is cleaned up by 1 mm a face; 1 3/4 in stock leaves 42.45 mm.
    assert list(at(answer, "/plate/thickness")) == ["38 mm", "42 mm"]
    assert list(at(answer, "/plate/pattern/bushings")) == [False]
    assert list(at(answer, "/plate/marking/edges")) == [
        ("bottom",), ("left",), (), ("left", "bottom", "right", "top"),
    ]  # fmt: skip


def test_what_is_no_choice_has_no_effect() -> None:
    pointers = {one["pointer"] for one in found(PLATE)["effects"]}
    assert not pointers & {"/plate/length", "/plate/width", "/plate/pattern/margin", "/plate/mounting/slot_width"}


def test_an_assumed_answer_is_told_from_a_given_one() -> None:
    answer = found(MINIMAL)
    (thickness, *_), (material, *_) = (
        list(at(answer, pointer).values()) for pointer in ("/plate/thickness", "/plate/material")
    )
    assert (thickness["value"], thickness["given"], thickness["neighbour"]) == ("1.9 in", False, "1.85 in")
    assert (material["value"], material["given"]) == ("al-6061-t6", True)


def test_what_loses_its_meaning_makes_way_and_is_named() -> None:
    none = at(found(PLATE), "/plate/mounting/surface")["none"]
    left_out = {pointer for pointer, value in none["changes"].items() if value is None}
    assert left_out == {f"/plate/mounting/{name}" for name in ("slot_width", "slot_spacing", "screw", "locate")}
    assert none["can_be_made"]


def test_a_material_that_comes_in_no_such_thickness_drops_no_thickness() -> None:
    iron = at(found(request({"/plate/thickness": "99.5 mm"})), "/plate/material")["iron-grey"]
    assert iron["changes"] == {"/plate/material": "iron-grey"}
    assert [fault["pointer"] for fault in iron["refused"]] == ["/plate/thickness"]


def test_a_pitch_moves_with_the_arrangement_and_back() -> None:
    there = at(found(PLATE), "/plate/pattern/arrangement")["separate"]
    assert there["changes"] == {
        "/plate/pattern/arrangement": "separate",
        "/plate/pattern/pitch": None,
        "/plate/pattern/locating/pitch": "35 mm",
    }
    back = at(found(SEPARATE), "/plate/pattern/arrangement")["combination"]
    assert back["changes"]["/plate/pattern/pitch"] == "50 mm"


def test_an_origin_moves_with_the_arrangement_coordinate_by_coordinate() -> None:
    origin = {"/plate/pattern/origin": {"x": "40 mm", "y": "45 mm"}}
    changes = at(found(request(origin)), "/plate/pattern/arrangement")["separate"]["changes"]
    moved = {pointer: value for pointer, value in changes.items() if "locating/origin" in pointer}
    assert moved == {"/plate/pattern/locating/origin/x": "40 mm", "/plate/pattern/locating/origin/y": "45 mm"}


def test_questions_that_do_not_arise_have_no_effects() -> None:
    pointers = {one["pointer"] for one in found(UNMOUNTED)["effects"]}
    assert "/plate/mounting/surface" in pointers
    assert "/plate/mounting/locate" not in pointers


def test_a_family_without_a_field_has_no_such_effect_and_its_own_have() -> None:
    answer = found(ROUND)
    pointers = {one["pointer"] for one in answer["effects"]}
    assert not [pointer for pointer in pointers if "mounting" in pointer]
    assert at(answer, "/plate/bolt_circles/1/kind")["tapped"]["value"] == "holding"
    assert not at(answer, "/plate/bolt_circles/0/kind")["holding"]["given"]
    assert "M10" in at(answer, "/plate/bolt_circles/0/screw")
    assert at(answer, "/plate/pattern/arrangement")["separate"]["refused"]


def test_what_cannot_be_made_says_which_finding_says_so() -> None:
    acetal = at(found(PLATE), "/plate/material")["acetal"]
    assert not acetal["can_be_made"]
    assert [finding["code"] for finding in acetal["errors"]] == ["finish-material"]


def test_the_work_is_counted_and_bounded() -> None:
    made = []
    asked = start(PLATE, installation())

    def counting(changed: object) -> Any:
        made.append(changed)
        return asked.price(changed)

    answer = effects(replace(asked, price=counting))
    assert answer.prices == len(made) + 1 <= MOST_PRICES
    assert answer.left_off == 0


def test_neighbours_beyond_the_bound_are_counted_and_not_tried(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = found(PLATE)
    monkeypatch.setattr(under_test, "MOST_EFFECTS", 10)
    answer = found(PLATE)
    assert answer["effects"] == whole["effects"][:10]
    monkeypatch.setattr(under_test, "MOST_EFFECTS", 0)
    every = found(PLATE)["left_off"]
    assert every >= len(whole["effects"])
    assert answer["left_off"] == every - 10


def test_a_request_is_not_changed_by_asking() -> None:
    asked = request()
    found(asked)
    assert asked == request()


def _changes(asked: Json, pointer: str) -> dict[Any, Any]:
    effects_of = [one for one in found(asked)["effects"] if one["pointer"] == pointer]
    return {one["neighbour"]: one["changes"] for one in effects_of if "total" in one}


def test_an_origin_makes_way_for_another_beginning_of_the_lattice() -> None:
    pointer = "/plate/pattern/laid_from"
    placed = request({"/plate/pattern/origin": {"x": "40 mm", "y": "40 mm"}, pointer: "margin"})
    changes = _changes(placed, pointer)
    assert set(changes) == {"shared", "centre", "table"}
    assert changes["shared"] == {pointer: "shared", "/plate/pattern/origin": None}


def test_what_each_lattice_states_moves_into_it_with_the_arrangement() -> None:
    pointer = "/plate/pattern/arrangement"
    asked = request({"/plate/pattern/pitch_across": "50 mm", "/plate/pattern/rows_left_out": [2]})
    moved = _changes(asked, pointer)["separate"]
    assert moved["/plate/pattern/locating/pitch_across"] == "50 mm"
    assert list(moved["/plate/pattern/locating/rows_left_out"]) == [2]
    assert moved["/plate/pattern/pitch_across"] is None


def test_staggered_rows_go_with_an_arrangement_and_make_way_for_another() -> None:
    changes = _changes(STAGGERED, "/plate/pattern/arrangement")
    assert changes["alternating"]["/plate/pattern/staggered"] is None
    assert set(_changes(STAGGERED, "/plate/pattern/staggered")) == {False}


def test_a_zone_has_choices_of_its_own() -> None:
    assert set(_changes(ZONED, "/plate/zones/0/pattern/arrangement")) == {"combination", "separate"}
    assert not _changes(ZONED, "/plate/pattern/arrangement")


def test_what_a_plate_that_exists_is_has_neither_effects_nor_a_curve() -> None:
    answer = effects(start(REWORK, installation()))
    assert {one.pointer for one in answer.effects} >= {"/plate/pattern/pitch", "/plate/pattern/screw", "/quantity"}
    assert not {one.pointer for one in answer.effects} & {"/plate/material", "/plate/thickness"}
    assert [one.name for one in answer.curves] == ["quantity", "pitch"]
    new = effects(start(request(), installation()))
    assert {one.pointer for one in new.effects} >= {"/plate/material", "/plate/thickness"}
