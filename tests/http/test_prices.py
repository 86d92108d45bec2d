"""`POST /v1/prices` where it can be priced."""

import json
from decimal import Decimal
from typing import Any

import pytest

from tests.plates import ABSENT, MINIMAL, request
from tests.serving import Ask


def _price(ask: Ask, body: dict[str, Any]) -> dict[str, Any]:
    response = ask("POST", "/v1/prices", json=body)
    assert response.status_code == 200, response.text
    assert response.headers["content-type"] == "application/json"
    answer: dict[str, Any] = response.json()
    return answer


def test_the_total_is_the_sum_of_the_lines_and_the_unit_price_its_share(ask: Ask) -> None:
    answer = _price(ask, request())
    total = Decimal(answer["total"])
    assert total == sum(Decimal(line["amount"]) for line in answer["lines"])
    assert abs(Decimal(answer["unit_price"]) - total / answer["quantity"]) <= Decimal("0.005")


def test_every_line_multiplies_again_to_within_half_a_cent(ask: Ask) -> None:
    for line in _price(ask, request())["lines"]:
        product = Decimal(line["quantity"]) * Decimal(line["rate"])
        assert abs(Decimal(line["amount"]) - product) <= Decimal("0.005"), line


def test_hours_are_those_of_the_lines_by_work_centre(ask: Ask) -> None:
    answer = _price(ask, request())
    charged: dict[str, Decimal] = {}
    for line in answer["lines"]:
        if "work_center" in line:
            charged[line["work_center"]] = charged.get(line["work_center"], Decimal(0)) + Decimal(line["quantity"])
            assert line["unit"] == "h"
    assert {center: Decimal(hours) for center, hours in answer["hours"].items()} == charged


def test_size_and_material_are_enough_and_the_answer_says_what_was_assumed(ask: Ask) -> None:
    answer = _price(ask, MINIMAL)
    assumed = {assumption["pointer"]: assumption for assumption in answer["assumed"]}
    assert assumed["/quantity"]["value"] == 1
    assert assumed["/plate/thickness"]["value"] == "1.9 in"
    assert all(assumption["why"] for assumption in assumed.values())
    assert not {"/plate/length", "/plate/width", "/plate/material", "/as_of"} & set(assumed)


def test_giving_every_assumed_answer_changes_nothing_but_the_assumptions(ask: Ask) -> None:
    short = _price(ask, MINIMAL)
    given = {assumption["pointer"]: assumption["value"] for assumption in short.pop("assumed")}
    whole = _price(ask, request(given, MINIMAL))
    assert whole.pop("assumed") == []
    assert whole == short


@pytest.mark.parametrize("media_type", ["application/json", "Application/JSON", "application/json; charset=utf-8"])
def test_json_is_accepted_however_its_media_type_is_written(ask: Ask, media_type: str) -> None:
    response = ask("POST", "/v1/prices", content=json.dumps(MINIMAL), headers={"content-type": media_type})
    assert response.status_code == 200


def test_the_same_request_gives_the_same_bytes(ask: Ask) -> None:
    first, again = (ask("POST", "/v1/prices", json=request()).content for _ in range(2))
    assert first == again


def test_without_a_date_today_in_the_cards_time_zone_counts(ask: Ask) -> None:
    dated = _price(ask, request({"/as_of": "2026-03-02"}))
    undated = _price(ask, request({"/as_of": ABSENT}))
    assert undated["as_of"] > dated["as_of"]
    assert undated["total"] == dated["total"]


def test_the_answer_names_the_versions_it_was_made_from(ask: Ask) -> None:
    answer = _price(ask, request())
    for name, path in (("rate_card", "/v1/rate-cards"), ("shop_data", "/v1/shop-data")):
        listed = {(offer["id"], offer["digest"]) for offer in ask("GET", path).json()}
        assert (answer[name]["id"], answer[name]["digest"]) in listed
    assert answer["versions"]["plugins"]["tallyplate"] == answer["versions"]["tallyplate"]


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"/budget": "1.00 USD"}, "over-budget"),
        ({"/need_by": "2026-03-03"}, "late"),
        ({"/plate/position_tolerance": "0.001 mm"}, "too-tight"),
    ],
)
def test_what_the_checks_find_comes_with_the_price(ask: Ask, changes: dict[str, Any], code: str) -> None:
    answer = _price(ask, request(changes))
    (finding,) = [finding for finding in answer["findings"] if finding["code"] == code]
    assert finding["pointer"] in changes
    assert finding["severity"] in {"error", "caution", "note"}
    assert finding["message"]
    assert finding["source"]
