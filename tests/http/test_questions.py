"""`POST /v1/questions`: from any part of a request to what is still open in it."""

import asyncio
import time
from typing import Any

import httpx
import pytest

from tallyplate.http import questions
from tallyplate.http.app import MAX_BODY, create_app
from tests.callers import customers
from tests.http.problem import problem
from tests.http.schemas import schema
from tests.plates import MINIMAL, installation, request
from tests.serving import Ask, asking

PATH = "/v1/questions"
PART = {"plate": {"family": "round", "diameter": "300 mm", "material": "al-5083"}, "as_of": "2026-03-02"}


@pytest.mark.parametrize("body", [PART, MINIMAL], ids=["round", "inches"])
def test_questions_are_as_the_document_describes(ask: Ask, body: dict[str, Any]) -> None:
    response = ask("POST", PATH, json=body)
    assert response.status_code == 200, response.text
    assert response.headers["content-type"] == "application/json"
    assert schema("QuestionsRequest").is_valid(body)
    assert list(schema("QuestionsAnswer").iter_errors(response.json())) == []


def test_each_total_is_the_price_with_that_answer(ask: Ask) -> None:
    for one in ask("POST", PATH, json=PART).json()["open"]:
        if one["pointer"] in {"/plate/thickness", "/plate/finish"}:
            name = one["pointer"].removeprefix("/plate/")
            for answer in one["choices"]:
                plate = PART["plate"] | {name: answer["value"]}  # type: ignore[operator]
                priced = ask("POST", "/v1/prices", json=PART | {"plate": plate}).json()
                assert priced["total"] == answer["total"]


def test_the_answer_states_its_date_and_versions(ask: Ask) -> None:
    undated = ask("POST", PATH, json={"plate": PART["plate"]}).json()
    here = installation()
    assert undated["as_of"] == here.today().isoformat()
    assert undated["rate_card"]["digest"] in {card.digest for card in here.cards}
    assert undated["shop_data"]["digest"] in {shop.digest for shop in here.shops}


def test_bad_fields_are_named_and_missing_ones_are_not(ask: Ask) -> None:
    bad = {"plate": {"family": "rectangular", "length": 600}, "quantity": 0, "colour": "red"}
    errors = problem(ask("POST", PATH, json=bad), 422, "invalid-request")
    assert set(errors) == {"/plate/length", "/quantity", "/colour"}


def test_bodies_that_are_none_are_refused_like_those_of_a_price(ask: Ask) -> None:
    header = {"content-type": "application/json"}
    problem(ask("POST", PATH, content=b"{}", headers={"content-type": "text/csv"}), 415, "not-json")
    problem(ask("POST", PATH, content=b"{", headers=header), 400, "malformed-json")
    problem(ask("POST", PATH, content=b"[]", headers=header), 422, "invalid-request")
    problem(ask("POST", PATH, content=b" " * (MAX_BODY + 1), headers=header), 413, "too-large")
    absent = request({"/pins/rate_card": "0" * 64})
    problem(ask("POST", PATH, json=absent), 409, "version-unavailable")


def test_the_outside_form_is_the_same_bytes_and_holds_no_inside_figure(ask: Ask) -> None:
    outside = asking(create_app(installation(), customers()))
    response = outside("POST", PATH, json=PART)
    assert response.content == ask("POST", PATH, json=PART).content
    assert not _keys(response.json()) & {"lines", "rate", "rates", "hours", "modules", "module", "basis", "margin"}


def _keys(part: Any) -> set[str]:
    if isinstance(part, dict):
        return set(part) | {key for inner in part.values() for key in _keys(inner)}
    return {key for inner in part for key in _keys(inner)} if isinstance(part, list) else set()


def test_the_service_goes_on_answering_while_questions_are_looked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    order: list[str] = []

    def slow(*_: Any) -> dict[str, int]:
        time.sleep(0.3)
        order.append("questions")
        return {}

    monkeypatch.setattr(questions, "answered", slow)
    app = create_app(installation())

    async def both() -> None:
        transport = httpx.ASGITransport(app)  # type: ignore[arg-type]  # typed tighter than ASGI
        async with httpx.AsyncClient(transport=transport, base_url="http://tallyplate.test") as client:
            waiting = asyncio.ensure_future(client.post(PATH, json={}))
            await asyncio.sleep(0.05)
            await client.get("/health/live")
            order.append("alive")
            await waiting

    asyncio.run(both())
    assert order == ["alive", "questions"]


def test_the_same_part_of_a_request_is_worked_out_once_a_day(monkeypatch: pytest.MonkeyPatch) -> None:
    worked_out: list[object] = []

    def counting(body: object, *_: Any) -> dict[str, int]:
        worked_out.append(body)
        return {}

    monkeypatch.setattr(questions, "answered", counting)
    ask = asking(create_app(installation()))
    for body in ({}, {}, {"quantity": 2}, {}):
        ask("POST", PATH, json=body)
    assert worked_out == [{}, {"quantity": 2}]
