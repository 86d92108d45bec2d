"""`POST /v1/comparisons`: two requests in, every difference between them out, summing exactly."""

from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, reject, settings

from tallyplate.contract import Refusal
from tallyplate.http.app import MAX_BODY, create_app
from tallyplate.http.comparisons import ComparisonAnswer, SellingComparisonAnswer, compared
from tallyplate.installation import Form, compose
from tests.callers import customers
from tests.http.problem import problem
from tests.http.schemas import schema
from tests.plates import DATA, MINIMAL, installation, request
from tests.rates.folder import write_data
from tests.serving import Ask, asking
from tests.strategies import Json, requests

PATH = "/v1/comparisons"
PLAIN, FINISHED = request({"/plate/finish": "plain"}), request()


def _sum(parts: Any, name: str = "difference") -> Decimal:
    return sum((Decimal(getattr(part, name)) for part in parts), Decimal())


def _compared(a: Json, b: Json, form: Form = Form.INSIDE) -> Any:
    try:
        return compared({"a": a, "b": b}, installation(), form)
    except Refusal:
        reject()


@settings(max_examples=15)
@given(requests(), requests())
def test_lines_sum_exactly_to_the_difference_of_the_totals_in_both_forms(a: Json, b: Json) -> None:
    inside, outside = _compared(a, b), _compared(a, b, Form.OUTSIDE)
    totals = [Decimal(installation().price(one).total) for one in (a, b)]
    assert Decimal(inside.comparison.difference) == totals[1] - totals[0]
    assert isinstance(inside, ComparisonAnswer)
    assert isinstance(outside, SellingComparisonAnswer)
    for parts in (inside.comparison.lines, inside.comparison.modules, outside.comparison.lines):
        assert _sum(parts) == totals[1] - totals[0]
        assert [_sum(parts, "a"), _sum(parts, "b")] == totals


@settings(max_examples=15)
@given(requests(), requests())
def test_there_and_back_differ_by_the_sign_alone_in_both_forms(a: Json, b: Json) -> None:
    for form in Form:
        there, back = _compared(a, b, form), _compared(b, a, form)
        assert {(one.item, Decimal(one.a), Decimal(one.b)) for one in there.comparison.lines} == {
            (one.item, Decimal(one.b), Decimal(one.a)) for one in back.comparison.lines
        }
        assert Decimal(there.comparison.difference) == -Decimal(back.comparison.difference)
        assert {(one.pointer, one.a, one.b) for one in there.specs} == {
            (one.pointer, one.b, one.a) for one in back.specs
        }


@settings(max_examples=15)
@given(requests())
def test_a_request_does_not_differ_from_itself(a: Json) -> None:
    for form in Form:
        answer = _compared(a, a, form)
        assert answer.specs == ()
        assert all(Decimal(line.difference) == 0 for line in answer.comparison.lines)


def _answer(ask: Ask, a: Any, b: Any) -> dict[str, Any]:
    response = ask("POST", PATH, json={"a": a, "b": b})
    assert response.status_code == 200, response.text
    assert response.headers["content-type"] == "application/json"
    answer: dict[str, Any] = response.json()
    return answer


def test_a_finish_shows_as_itself_and_in_all_that_follows_from_it(ask: Ask) -> None:
    answer = _answer(ask, PLAIN, FINISHED)
    assert schema("ComparisonAnswer").is_valid(answer)
    assert answer["specs"] == [{"pointer": "/plate/finish", "a": "plain", "b": "anodized"}]
    moved = {one["module"] for one in answer["comparison"]["modules"] if Decimal(one["difference"])}
    assert {"finishing", "margin"} <= moved
    assert not moved & {"holes", "stock"}
    assert answer["a"]["total"] == ask("POST", "/v1/prices", json=PLAIN).json()["total"]


def test_requests_may_differ_in_quantity_date_budget_and_versions(ask: Ask) -> None:
    pinned = {"/pins/rate_card": installation().cards[0].digest}
    other = request({"/quantity": 5, "/as_of": "2026-03-03", "/budget": "1.00 USD", **pinned})
    answer = _answer(ask, request(), other)
    assert {one["pointer"] for one in answer["specs"]} == {"/quantity", "/as_of", "/budget", "/pins/rate_card"}
    assert (answer["a"]["quantity"], answer["b"]["quantity"]) == (2, 5)
    assert (answer["a"]["as_of"], answer["b"]["as_of"]) == ("2026-03-02", "2026-03-03")


def test_what_one_request_gives_and_the_other_leaves_to_the_shop_is_the_same(ask: Ask) -> None:
    given_as_usual = request({"/quantity": 1, "/plate/thickness": "1.9 in", "/plate/finish": "plain"}, MINIMAL)
    answer = _answer(ask, MINIMAL, given_as_usual)
    assert answer["specs"] == []
    assert Decimal(answer["comparison"]["difference"]) == 0


def test_families_may_differ(ask: Ask) -> None:
    disc = {"plate": {"family": "round", "diameter": "300 mm", "material": "al-6061-t6"}, "as_of": "2026-03-02"}
    specs = {one["pointer"]: (one["a"], one["b"]) for one in _answer(ask, MINIMAL, disc)["specs"]}
    assert specs["/plate/family"] == ("rectangular", "round")
    assert specs["/plate/length"] == ("10 in", None)
    assert specs["/plate/diameter"] == (None, "300 mm")


def test_outside_the_amounts_are_those_that_the_prices_show_there_and_no_others() -> None:
    outside = asking(create_app(installation(), customers()))
    answer = _answer(outside, PLAIN, FINISHED)
    assert schema("SellingComparisonAnswer").is_valid(answer)
    shown = [
        {line["item"]: line["amount"] for line in outside("POST", "/v1/prices", json=one).json()["lines"]}
        for one in (PLAIN, FINISHED)
    ]
    for line in answer["comparison"]["lines"]:
        assert set(line) == {"item", "a", "b", "difference", "percent"}
        assert (line["a"], line["b"]) == tuple(one.get(line["item"], "0") for one in shown)
    assert set(answer["comparison"]) == {"currency", "a", "b", "difference", "percent", "lines"}
    assert set(answer["a"]) == {"total", "unit_price", "quantity", "as_of", "rate_card", "shop_data"}


def test_every_bad_field_of_both_is_named_under_its_own_request(ask: Ask) -> None:
    bad = {"a": request({"/plate/length": 600, "/quantity": 0}), "b": {"plate": {"family": "oval"}}}
    errors = problem(ask("POST", PATH, json=bad), 422, "invalid-request")
    assert set(errors) == {"/a/plate/length", "/a/quantity", "/b/plate/family"}


def test_a_plate_without_room_is_named_under_its_own_request(ask: Ask) -> None:
    bad = {"a": MINIMAL, "b": request({"/plate/pattern/margin": "400 mm"})}
    assert set(problem(ask("POST", PATH, json=bad), 422, "invalid-request")) == {"/b/plate/pattern/margin"}


@pytest.mark.parametrize(
    ("body", "pointers"),
    [([], [""]), ({}, ["/a", "/b"]), ({"a": MINIMAL, "b": MINIMAL, "c": 1}, ["/c"]), ({"a": 7, "b": MINIMAL}, ["/a"])],
    ids=repr,
)
def test_a_body_of_another_shape_is_refused_by_field(ask: Ask, body: Any, pointers: list[str]) -> None:
    assert sorted(problem(ask("POST", PATH, json=body), 422, "invalid-request")) == pointers


def test_a_version_that_is_not_here_is_a_conflict_unless_more_is_wrong(ask: Ask) -> None:
    absent = request({"/pins/rate_card": "0" * 64})
    errors = problem(ask("POST", PATH, json={"a": absent, "b": MINIMAL}), 409, "version-unavailable")
    assert set(errors) == {"/a/pins/rate_card"}
    errors = problem(ask("POST", PATH, json={"a": absent, "b": {}}), 422, "invalid-request")
    assert set(errors) == {"/a/pins/rate_card", "/b/plate"}


def test_two_currencies_are_refused(tmp_path: Path) -> None:
    here = installation()
    write_data(tmp_path)
    euro = (DATA / "rate_cards" / "2026-01.toml").read_text().replace("USD", "EUR")
    euro = euro.replace("harrow-pell-2026-01", "euro").replace("2026-01-01", "2026-06-01")
    (tmp_path / "rate_cards" / "euro.toml").write_text(euro)
    both = compose(here.families, here.modules, tmp_path)
    assert [card.currency for card in both.cards] == ["USD", "EUR"]
    body = {"a": MINIMAL, "b": request({"/as_of": date(2026, 6, 2).isoformat()}, MINIMAL)}
    for who in (None, customers()):
        response = asking(create_app(both, who))("POST", PATH, json=body)
        errors = problem(response, 422, "invalid-request")
        assert errors == {"/b": "is in EUR, the other in USD; accepted: one currency"}


def test_bodies_that_are_none_are_refused_like_those_of_a_price(ask: Ask) -> None:
    header = {"content-type": "application/json"}
    problem(ask("POST", PATH, content=b"{}", headers={"content-type": "text/csv"}), 415, "not-json")
    problem(ask("POST", PATH, content=b'{"a":1,"a":2}', headers=header), 400, "malformed-json")
    problem(ask("POST", PATH, content=b" " * (MAX_BODY + 1), headers=header), 413, "too-large")
