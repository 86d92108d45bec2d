"""`POST /v1/findings`: what a price's checks say, without the price."""

from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings

from tallyplate.contract import Refusal
from tallyplate.http.app import MAX_BODY, create_app
from tallyplate.http.findings import checked
from tallyplate.installation import Installation, compose
from tallyplate.tradeoffs.start import attempt
from tests.callers import customers
from tests.http.problem import problem
from tests.http.schemas import schema
from tests.plates import MINIMAL, installation, request
from tests.rates.folder import write_data
from tests.serving import Ask, asking
from tests.strategies import Json, requests

PATH = "/v1/findings"
TIGHT = request({"/plate/position_tolerance": "0.001 mm", "/budget": "1.00 USD", "/need_by": "2026-03-03"})


@settings(max_examples=25)
@given(requests())
def test_findings_are_those_of_the_price(asked: Json) -> None:
    price = attempt(asked, installation().price)
    if isinstance(price, Refusal):
        with pytest.raises(Refusal) as refused:
            checked(asked, installation())
        assert refused.value.faults == price.faults
        return
    answer = checked(asked, installation())
    assert answer.findings == price.findings
    assert answer.assumed == price.assumed
    assert answer.can_be_made == ("error" not in {finding.severity.value for finding in price.findings})


@pytest.mark.parametrize("body", [TIGHT, MINIMAL, request()], ids=["tight", "minimal", "usual"])
def test_the_answer_is_as_the_document_describes(ask: Ask, body: Json) -> None:
    answer = ask("POST", PATH, json=body).json()
    price = ask("POST", "/v1/prices", json=body).json()
    assert schema("FindingsAnswer").is_valid(answer)
    for name in ("findings", "assumed", "as_of", "rate_card", "shop_data"):
        assert answer[name] == price[name]
    assert answer["unchecked"] == []


def test_promises_are_checked_as_in_a_price(ask: Ask) -> None:
    codes = {finding["code"] for finding in ask("POST", PATH, json=TIGHT).json()["findings"]}
    assert {"over-budget", "late"} <= codes


def test_both_forms_say_the_same_and_no_amount(ask: Ask) -> None:
    outside = asking(create_app(installation(), customers()))
    answer = outside("POST", PATH, json=TIGHT)
    assert answer.content == ask("POST", PATH, json=TIGHT).content
    assert set(answer.json()) == {
        "can_be_made", "findings", "assumed", "unchecked", "as_of", "shop_data", "rate_card",
    }  # fmt: skip


@pytest.fixture
def cardless(tmp_path: Path) -> Installation:
    """Shop data from 2026 on and anew from February, and rates from 2027 on."""
    write_data(tmp_path, card={"effective_from": date(2027, 1, 1)})
    (first,) = (tmp_path / "shop_data").glob("*.toml")
    parent = installation().shops[0].id
    anew = f'id = "anew"\ninherits = "{parent}"\neffective_from = 2026-02-01\n# end\n'
    first.with_name("anew.toml").write_text(anew)
    here = installation()
    return compose(here.families, here.modules, tmp_path)


def test_before_any_rate_card_a_plate_is_checked_all_the_same(cardless: Installation) -> None:
    ask = asking(create_app(cardless))
    problem(ask("POST", "/v1/prices", json=TIGHT), 422, "invalid-request")
    response = ask("POST", PATH, json=TIGHT)
    assert response.status_code == 200, response.text
    answer: dict[str, Any] = response.json()
    assert schema("FindingsAnswer").is_valid(answer)
    plates = [one for one in checked(TIGHT, installation()).findings if one.pointer.startswith("/plate")]
    assert [one["message"] for one in answer["findings"]] == [one.message for one in plates]
    assert answer["unchecked"] == ["/budget", "/need_by"]
    assert "rate_card" not in answer
    assert not answer["can_be_made"]


def test_without_a_rate_card_what_is_assumed_is_said_once_and_nothing_is_left_unchecked(cardless: Installation) -> None:
    answer = checked(MINIMAL, cardless)
    assert answer.assumed == checked(MINIMAL, installation()).assumed
    assert answer.unchecked == ()


def test_without_a_rate_card_pins_and_dates_count_as_ever(cardless: Installation) -> None:
    ask = asking(create_app(cardless))
    absent = request({"/pins/shop_data": "0" * 64})
    assert set(problem(ask("POST", PATH, json=absent), 409, "version-unavailable")) == {"/pins/shop_data"}
    assert ask("POST", PATH, json=request()).json()["shop_data"]["id"] == "anew"
    pinned = request({"/pins/shop_data": cardless.shops[0].digest})
    assert ask("POST", PATH, json=pinned).json()["shop_data"]["id"] == cardless.shops[0].id
    early = request({"/as_of": "1999-01-01"})
    assert set(problem(ask("POST", PATH, json=early), 422, "invalid-request")) == {"/as_of"}
    after = request({"/as_of": "2027-01-02"})
    assert ask("POST", PATH, json=after).json()["rate_card"]["id"] == cardless.cards[0].id


def test_bad_fields_are_named_as_a_price_names_them(ask: Ask) -> None:
    bad = request({"/plate/length": 600, "/quantity": 0, "/colour": "blue"})
    errors = problem(ask("POST", PATH, json=bad), 422, "invalid-request")
    assert errors == problem(ask("POST", "/v1/prices", json=bad), 422, "invalid-request")


def test_bodies_that_are_none_are_refused_like_those_of_a_price(ask: Ask) -> None:
    header = {"content-type": "application/json"}
    problem(ask("POST", PATH, content=b"{}", headers={"content-type": "text/csv"}), 415, "not-json")
    problem(ask("POST", PATH, content=b"\xff", headers=header), 400, "malformed-json")
    problem(ask("POST", PATH, content=b" " * (MAX_BODY + 1), headers=header), 413, "too-large")
    problem(ask("POST", PATH, json=request({"/pins/rate_card": "0" * 64})), 409, "version-unavailable")
