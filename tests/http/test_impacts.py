"""`POST /v1/impacts`: a draft card and a portfolio in, what the draft would do out."""

import json
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from tallyplate.http import app, impacts
from tallyplate.http.app import create_app
from tallyplate.http.limits import MOST_ORDERS
from tests.callers import customers
from tests.http.problem import problem
from tests.plates import MINIMAL, installation, request
from tests.serving import Ask, asking
from tests.strategies import CARD
from tests.tradeoffs.cards import card, total

PATH = "/v1/impacts"
DRAFT = {"inherits": CARD.id, "id": "next-year", "effective_from": "2027-01-01", "work_centers": {"mill": "192 USD/h"}}
DEARER = card(work_centers__mill=2)


def _answer(ask: Ask, orders: list[Any], draft: dict[str, Any] | None = None) -> dict[str, Any]:
    response = ask("POST", PATH, json={"orders": orders, "draft_card": DRAFT if draft is None else draft})
    assert response.status_code == 200, response.text
    assert response.headers["content-type"] == "application/json"
    answer: dict[str, Any] = response.json()
    return answer


def _faults(ask: Ask, body: Any) -> dict[str, str]:
    return problem(ask("POST", PATH, json=body), 422, "invalid-request")


def test_a_draft_is_compared_with_the_card_in_force_today(ask: Ask) -> None:
    answer = _answer(ask, [request(), MINIMAL])
    assert answer["in_force"] == {"id": CARD.id, "digest": CARD.digest}
    assert answer["draft"]["id"] == "next-year"
    assert answer["as_of"] == installation().today().isoformat()
    found = answer["impact"]
    old, new = (sum((total(order, one) for order in (request(), MINIMAL)), Decimal()) for one in (CARD, DEARER))
    assert (Decimal(found["a"]), Decimal(found["b"]), Decimal(found["difference"])) == (old, new, new - old)
    assert (found["orders"], found["priced"], found["refused"]) == (2, 2, [])
    assert {one["module"]: one["difference"] for one in found["modules"]}["packing"] == "0.00"


def test_the_orders_that_move_most_come_line_by_line(ask: Ask) -> None:
    first, second = _answer(ask, [MINIMAL, request()])["impact"]["moving_most"]
    assert (first["order"], second["order"]) == (2, 1)
    lines = first["comparison"]["lines"]
    assert sum(Decimal(line["difference"]) for line in lines) == Decimal(first["comparison"]["difference"])


def test_orders_that_cannot_be_priced_are_listed_and_counted(ask: Ask) -> None:
    found = _answer(ask, [MINIMAL, 7, request({"/quantity": 0, "/plate/material": 3}), {}])["impact"]
    assert (found["orders"], found["priced"]) == (4, 1)
    assert [(one["order"], one["under"]) for one in found["refused"]] == [(2, "a"), (3, "a"), (4, "a")]
    assert {reason["pointer"] for reason in found["refused"][1]["reasons"]} == {"/quantity", "/plate/material"}
    assert Decimal(found["a"]) == total(MINIMAL)


def test_a_draft_that_changes_nothing_moves_nothing(ask: Ask) -> None:
    answer = _answer(ask, [request()], {"inherits": CARD.id})
    assert answer["draft"] == answer["in_force"]
    assert answer["impact"]["difference"] == "0.00"


def test_a_whole_card_need_not_inherit(ask: Ask) -> None:
    whole = json.loads(json.dumps(CARD.resolved.data, default=date.isoformat))
    assert _answer(ask, [MINIMAL], whole)["draft"]["digest"] == CARD.digest


def test_no_orders_have_no_impact(ask: Ask) -> None:
    assert _answer(ask, [])["impact"]["orders"] == 0


def test_more_orders_than_one_call_takes_are_refused_with_their_count_before_any_work(
    ask: Ask, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(type(installation()), "price_under", None)
    errors = _faults(ask, {"orders": [MINIMAL] * 1001, "draft_card": {"id": "not even read"}})
    assert errors == {"/orders": "1001 orders; accepted: at most 1000"}


def test_every_bad_field_of_a_draft_is_named_by_pointer(ask: Ask) -> None:
    bad = {
        **DRAFT,
        "effective_from": "soon",
        "work_centers": {"mill": 99, "a center": "9 USD/kg"},
        "inserts": {"bushing": {"1/2-13": 3, "x.y": 4}},
        "surprise": {},
    }
    errors = _faults(ask, {"orders": [], "draft_card": bad})
    expected = ("effective_from", "work_centers/mill", "work_centers/a center", "inserts/bushing/1~12-13", "surprise")
    assert set(errors) == {f"/draft_card/{pointer}" for pointer in (*expected, "inserts/bushing/x.y")}
    assert "has no unit" in errors["/draft_card/work_centers/mill"]


@pytest.mark.parametrize(
    ("changes", "pointer", "says"),
    [
        ({"inherits": "gone"}, "inherits", f"'gone' is not here; accepted: {CARD.id}"),
        ({"currency": "EUR"}, "work_centers/saw", "expected a figure in EUR/h"),
        ({"currency": "bottle caps"}, "currency", "is not an ISO 4217 currency code"),
        ({"time_zone": "Mars/Base"}, "time_zone", "is not a time zone"),
        ({"margin": {"of_price": "100 %"}}, "margin", "must be below 100 %"),
    ],
)
def test_a_draft_that_cannot_be_used_is_refused(ask: Ask, changes: dict[str, Any], pointer: str, says: str) -> None:
    errors = _faults(ask, {"orders": [MINIMAL], "draft_card": {**DRAFT, **changes}})
    assert says in errors[f"/draft_card/{pointer}"]


def test_a_card_in_another_currency_is_refused(ask: Ask) -> None:
    euro = json.loads(json.dumps(CARD.resolved.data, default=str).replace("USD", "EUR"))
    errors = _faults(ask, {"orders": [MINIMAL], "draft_card": euro})
    assert errors == {"/draft_card/currency": "EUR is not the currency of the card in force; accepted: USD"}


def test_what_the_shop_offers_and_a_draft_leaves_unpriced_is_named(ask: Ask) -> None:
    whole = json.loads(json.dumps(CARD.resolved.data, default=str))
    del whole["stock"]["price"]["acetal"]
    (pointer,) = _faults(ask, {"orders": [MINIMAL], "draft_card": whole})
    assert pointer.startswith("/draft_card/stock/price/acetal")


@pytest.mark.parametrize(
    ("body", "pointers"),
    [
        ([], {""}),
        ({}, {"/orders", "/draft_card"}),
        ({"orders": {}, "draft_card": [], "today": "x"}, {"/orders", "/draft_card", "/today"}),
        ({"orders": None, "draft_card": DRAFT}, {"/orders"}),
    ],
)
def test_a_body_of_another_shape_is_refused_by_field(ask: Ask, body: Any, pointers: set[str]) -> None:
    assert set(_faults(ask, body)) == pointers


@pytest.mark.parametrize("content", [b"", b"{", b'{"orders": [], "orders": []}', b"\xff", b'{"orders":' + b"[" * 9000])
def test_what_is_not_json_is_refused(ask: Ask, content: bytes) -> None:
    response = ask("POST", PATH, content=content, headers={"content-type": "application/json"})
    problem(response, 400, "malformed-json")


def test_a_card_nested_without_end_is_refused(ask: Ask) -> None:
    for depth in (100, 900, 950, 970, 980, 985, 990, 993, 994, 995, 1000):
        card = b'{"orders":[],"draft_card":{"x":' + b'{"a":' * depth + b"1" + b"}" * depth + b"}}"
        response = ask("POST", PATH, content=card, headers={"content-type": "application/json"})
        assert response.status_code in {400, 422}, depth


def test_another_media_type_is_refused(ask: Ask) -> None:
    problem(ask("POST", PATH, content=b"{}", headers={"content-type": "text/csv"}), 415, "not-json")


def test_a_body_may_be_as_large_as_its_orders_need_and_no_larger(ask: Ask) -> None:
    largest = (MOST_ORDERS + 16) * impacts.BYTES_AN_ORDER
    assert largest > 10 * app.MAX_BODY
    body = json.dumps({"orders": [MINIMAL], "draft_card": DRAFT}).encode()
    header = {"content-type": "application/json"}
    assert ask("POST", PATH, content=body.ljust(largest), headers=header).status_code == 200
    response = ask("POST", PATH, content=body.ljust(largest + 1), headers=header)
    problem(response, 413, "too-large")
    assert response.json()["detail"] == f"accepted: at most {largest} bytes"


def test_before_any_card_is_in_force_the_service_is_not_ready(monkeypatch: pytest.MonkeyPatch) -> None:
    here = installation()
    monkeypatch.setattr(here, "today", lambda: date(1999, 1, 1))
    ask = asking(create_app(here))
    problem(ask("POST", PATH, json={"orders": [], "draft_card": DRAFT}), 503, "not-ready")


def test_a_caller_without_the_scope_of_rates_is_asked_for_a_key() -> None:
    ask = asking(create_app(installation(), customers()))
    problem(ask("POST", PATH, json={"orders": [], "draft_card": DRAFT}), 401, "unauthorized")


def test_the_same_request_gives_the_same_bytes(ask: Ask) -> None:
    body = {"orders": [request(), MINIMAL], "draft_card": DRAFT}
    assert ask("POST", PATH, json=body).content == ask("POST", PATH, json=body).content
