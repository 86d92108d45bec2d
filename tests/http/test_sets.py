"""Sets over HTTP: the library's answer in both forms, and refusals that name the plate."""

import json
from decimal import Decimal
from typing import Any

import msgspec
import pytest

from tallyplate.http.app import create_app
from tallyplate.http.openapi_sets import EXAMPLE, LARGE
from tallyplate.sets.answers import set_answer
from tallyplate.sets.priced import price_set
from tests.callers import customers
from tests.http.problem import problem
from tests.plates import installation, request
from tests.serving import Ask, asking


@pytest.fixture(scope="module")
def outside() -> Ask:
    return asking(create_app(installation(), customers()))


def _posted(ask: Ask, body: Any) -> Any:
    response = ask("POST", "/v1/sets", json=body)
    assert response.status_code == 200, response.text
    assert response.headers["content-type"] == "application/json"
    return response.json()


def test_the_answer_is_the_librarys_to_the_byte(ask: Ask) -> None:
    here = installation()
    expected = msgspec.json.encode(set_answer(price_set(EXAMPLE, here), here.versions))
    assert ask("POST", "/v1/sets", json=EXAMPLE).content == expected


def test_customers_see_the_same_amounts_and_none_of_the_cost(ask: Ask, outside: Ask) -> None:
    inside, told = _posted(ask, EXAMPLE), _posted(outside, EXAMPLE)
    assert told["total"] == inside["total"]
    assert [plate["amount"] for plate in told["plates"]] == [plate["amount"] for plate in inside["plates"]]
    text = json.dumps(told)
    for word in ('"rate"', '"hours"', '"shared"', '"basis"', '"work_center"', '"module"', '"versions"', '"margin"'):
        assert word not in text


def test_a_set_of_one_plate_shows_customers_what_its_price_shows_them(outside: Ask) -> None:
    one = request()
    alone = outside("POST", "/v1/prices", json=one).json()
    around = {name: value for name, value in one.items() if name not in {"plate", "quantity"}}
    told = _posted(outside, {"plates": [{"plate": one["plate"], "quantity": one["quantity"]}], **around})
    (plate,) = told["plates"]
    assert plate["lines"] == alone["lines"]
    assert (told["total"], plate["unit_price"]) == (alone["total"], alone["unit_price"])


def test_the_parts_of_the_plates_sum_to_the_total(outside: Ask) -> None:
    told = _posted(outside, EXAMPLE)
    assert sum(Decimal(plate["amount"]) for plate in told["plates"]) == Decimal(told["total"])


def test_a_fault_names_the_plate_and_the_field(ask: Ask) -> None:
    body = {"plates": [EXAMPLE["plates"][0], {"plate": {**EXAMPLE["plates"][1]["plate"], "length": "16"}}]}
    errors = problem(ask("POST", "/v1/sets", json=body), 422, "invalid-request")
    assert list(errors) == ["/plates/1/plate/length"]


@pytest.mark.parametrize(
    ("content", "media_type", "status", "code"),
    [
        (b"{", "application/json", 400, "malformed-json"),
        (b'{"plates": [], "plates": []}', "application/json", 400, "malformed-json"),
        (b"{}", "text/plain", 415, "not-json"),
        (b"[]", "application/json", 422, "invalid-request"),
        (b'{"plates": {}}', "application/json", 422, "invalid-request"),
    ],
)
def test_what_is_no_set_is_refused(ask: Ask, content: bytes, media_type: str, status: int, code: str) -> None:
    problem(ask("POST", "/v1/sets", content=content, headers={"content-type": media_type}), status, code)


def test_a_plate_is_split_into_what_a_set_takes(ask: Ask) -> None:
    response = ask("POST", "/v1/sections", json=LARGE)
    assert response.status_code == 200, response.text
    priced = _posted(ask, {"plates": response.json()["plates"], "as_of": EXAMPLE["as_of"]})
    assert [plate["name"] for plate in priced["plates"]] == [f"long bed, section {number} of 2" for number in (1, 2)]
    refused = ask("POST", "/v1/sections", json={**LARGE, "along": "thickness"})
    assert list(problem(refused, 422, "invalid-request")) == ["/along"]


def test_a_version_that_is_not_here_is_a_conflict(ask: Ask) -> None:
    body = {**EXAMPLE, "pins": {"shop_data": "0" * 64}}
    problem(ask("POST", "/v1/sets", json=body), 409, "version-unavailable")
