"""`POST /v1/effects`: what each choice is worth as JSON, and its curves as charts."""

import asyncio
import threading
from decimal import Decimal
from typing import Any

import httpx
import pytest

from tallyplate.http import effects
from tallyplate.http.app import MAX_BODY, create_app
from tallyplate.installation import compose
from tests.callers import customers
from tests.documents.drawing import texts
from tests.http.problem import problem
from tests.http.schemas import schema
from tests.misbehaving import WRONG, module
from tests.plates import DATA, MINIMAL, installation, request
from tests.serving import Ask, asking
from tests.tradeoffs.effects import ROUND, with_changes
from tests.tradeoffs.odd import ASKED, odd_shop

PATH = "/v1/effects"
SVG = {"accept": "image/svg+xml"}


def _answer(ask: Ask, body: Any) -> dict[str, Any]:
    response = ask("POST", PATH, json=body)
    assert response.status_code == 200, response.text
    assert response.headers["content-type"] == "application/json"
    answer: dict[str, Any] = response.json()
    return answer


@pytest.mark.parametrize("body", [request(), MINIMAL, ROUND], ids=["millimetres", "inches", "round"])
def test_effects_are_as_the_document_describes_and_applied_have_their_prices(ask: Ask, body: dict[str, Any]) -> None:
    answer = _answer(ask, body)
    assert schema("EffectsAnswer").is_valid(answer)
    for one in answer["effects"][::5]:
        if "total" in one:
            changed = ask("POST", "/v1/prices", json=with_changes(body, one["changes"])).json()
            assert changed["total"] == one["total"]
            assert Decimal(one["difference"]) == Decimal(changed["total"]) - Decimal(answer["total"])


def test_the_answer_states_its_date_and_versions_so_that_an_effect_can_be_had_on_another_day(ask: Ask) -> None:
    undated = {name: value for name, value in request().items() if name != "as_of"}
    answer = _answer(ask, undated)
    here = installation()
    assert answer["as_of"] == here.today().isoformat()
    assert answer["rate_card"]["digest"] in {card.digest for card in here.cards}
    assert answer["shop_data"]["digest"] in {shop.digest for shop in here.shops}


@pytest.mark.parametrize(("curve", "title"), [("pitch", "Pitch, mm"), ("thickness", "Finished thickness, mm")])
def test_a_curve_is_a_chart_where_svg_is_accepted(ask: Ask, curve: str, title: str) -> None:
    response = ask("POST", PATH, params={"curve": curve}, json=request(), headers=SVG)
    assert response.status_code == 200
    assert response.headers["content-type"] == "image/svg+xml"
    assert response.headers["vary"] == "Accept"
    said = texts(response.text)
    total = ask("POST", "/v1/prices", json=request()).json()["total"]
    assert {title, "USD for 2 plates", f"{Decimal(total):,}"} <= set(said)


def test_the_usual_chart_is_the_price_of_a_plate_by_quantity(ask: Ask) -> None:
    said = texts(ask("POST", PATH, json=request(), headers=SVG).text)
    each = ask("POST", "/v1/prices", json=request()).json()["unit_price"]
    assert {"Quantity, plates", "USD a plate", f"{Decimal(each):,}"} <= set(said)


@pytest.mark.parametrize(
    ("accept", "kind"),
    [
        ("application/json, image/svg+xml;q=0.5", "application/json"),
        ("application/json;q=0.1, image/svg+xml", "image/svg+xml"),
        ("*/*", "application/json"),
        ("", "application/json"),
    ],
)
def test_what_is_accepted_most_is_answered(ask: Ask, accept: str, kind: str) -> None:
    assert ask("POST", PATH, json=MINIMAL, headers={"accept": accept}).headers["content-type"] == kind


@pytest.mark.parametrize(
    ("query", "says"),
    [
        ("curve=colour", "the query parameter curve is 'colour'; accepted: one of quantity, pitch, thickness"),
        ("curve=", "the query parameter curve is ''"),
        ("curve=pitch&curve=quantity", "the query parameter curve is 'pitch', 'quantity'"),
    ],
)
def test_a_curve_that_there_is_not_is_refused(ask: Ask, query: str, says: str) -> None:
    for headers in ({}, SVG):
        response = ask("POST", f"{PATH}?{query}", json=request(), headers=headers)
        assert says in problem(response, 422, "invalid-request")[""]


def test_a_curve_that_a_plate_does_not_have_is_refused_with_those_that_it_has() -> None:
    odd = asking(create_app(odd_shop()))
    response = odd("POST", f"{PATH}?curve=thickness", json=ASKED, headers=SVG)
    errors = problem(response, 422, "invalid-request")
    assert errors == {"": "the plate has no curve 'thickness'; accepted: quantity"}


def test_bad_fields_are_named_as_a_price_names_them(ask: Ask) -> None:
    bad = request({"/plate/length": 600, "/quantity": 0, "/plate/material": "cheese"})
    priced = problem(ask("POST", "/v1/prices", json=bad), 422, "invalid-request")
    assert problem(ask("POST", PATH, json=bad), 422, "invalid-request") == priced
    assert set(priced) == {"/plate/length", "/plate/material", "/quantity"}


def test_another_format_is_refused_with_those_on_offer(ask: Ask) -> None:
    response = ask("POST", PATH, json=MINIMAL, headers={"accept": "text/html"})
    assert "application/json, image/svg+xml" in problem(response, 406, "not-acceptable")[""]


def test_a_plugin_that_fails_is_named() -> None:
    here = installation()
    failing = {**here.modules, "paint": module(WRONG["it raises"][0])}
    response = asking(create_app(compose(here.families, failing, DATA)))("POST", PATH, json=MINIMAL)
    problem(response, 500, "plugin-failure")
    assert "'paint'" in response.json()["detail"]


def test_bodies_that_are_none_are_refused_like_those_of_a_price(ask: Ask) -> None:
    header = {"content-type": "application/json"}
    problem(ask("POST", PATH, content=b"{}", headers={"content-type": "text/csv"}), 415, "not-json")
    problem(ask("POST", PATH, content=b"{", headers=header), 400, "malformed-json")
    problem(ask("POST", PATH, content=b" " * (MAX_BODY + 1), headers=header), 413, "too-large")
    absent = request({"/pins/rate_card": "0" * 64})
    problem(ask("POST", PATH, json=absent), 409, "version-unavailable")


def test_the_outside_form_is_the_same_bytes_and_holds_no_inside_figure(ask: Ask) -> None:
    outside = asking(create_app(installation(), customers()))
    response = outside("POST", PATH, json=request())
    assert response.content == ask("POST", PATH, json=request()).content
    assert not _keys(response.json()) & {"lines", "rate", "rates", "hours", "modules", "module", "basis", "margin"}


def _keys(part: Any) -> set[str]:
    if isinstance(part, dict):
        return set(part) | {key for inner in part.values() for key in _keys(inner)}
    return {key for inner in part for key in _keys(inner)} if isinstance(part, list) else set()


def test_the_service_goes_on_answering_while_effects_are_made(monkeypatch: pytest.MonkeyPatch) -> None:
    begun, alive = threading.Event(), threading.Event()

    def slow(*_: Any) -> dict[str, bool]:
        begun.set()
        return {"meanwhile": alive.wait(timeout=10)}

    monkeypatch.setattr(effects, "answered", slow)
    app = create_app(installation())

    async def both() -> Any:
        transport = httpx.ASGITransport(app)  # type: ignore[arg-type]  # typed tighter than ASGI
        async with httpx.AsyncClient(transport=transport, base_url="http://tallyplate.test") as client:
            waiting = asyncio.ensure_future(client.post(PATH, json=MINIMAL))
            await asyncio.to_thread(begun.wait, 10)
            await client.get("/health/live")
            alive.set()
            return (await waiting).json()

    assert asyncio.run(both()) == {"meanwhile": True}


def test_the_same_request_gives_the_same_bytes(ask: Ask) -> None:
    for headers in ({}, SVG):
        first, second = (ask("POST", PATH, json=request(), headers=headers).content for _ in range(2))
        assert first == second
