"""`POST /v1/quotes` and its verification: a request in, a signed quote out, and a verdict on what comes back."""

import json
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any

import msgspec
import pytest

from tallyplate.http.app import MAX_BODY, create_app
from tallyplate.quote.content import Quote
from tallyplate.quote.signing import MOST
from tallyplate.quote.verification import verified
from tests.callers import customers
from tests.http.problem import problem
from tests.plates import installation
from tests.quote.quotes import CUSTOMER, KEYS, RFC_THUMBPRINT, asked, content_of, key_set, made
from tests.serving import Ask, Logs, asking

QUOTES, VERIFICATION, KEY_SET = "/v1/quotes", "/v1/quotes/verification", "/.well-known/jwks.json"
HERE = installation()
TODAY = HERE.today(datetime.now(UTC))
SETTLED = {"override": {"total": "4000 USD", "by": "R. Pell", "why": "first order"}}


@pytest.fixture(scope="module")
def ask() -> Ask:
    return asking(create_app(HERE, None, KEYS))


@pytest.fixture(scope="module")
def outside() -> Ask:
    return asking(create_app(HERE, customers(), KEYS))


def _quoted(ask: Ask, says: dict[str, Any] | None = None, **changes: Any) -> dict[str, Any]:
    response = ask("POST", QUOTES, json=asked(says, changes))
    assert response.status_code == 200, response.text
    answer: dict[str, Any] = response.json()
    return answer


def _verdict(ask: Ask, token: str) -> dict[str, Any]:
    response = ask("POST", VERIFICATION, json={"token": token})
    assert response.status_code == 200, response.text
    answer: dict[str, Any] = response.json()
    return answer


def test_a_quote_comes_signed_and_says_what_its_token_says(outside: Ask) -> None:
    answer = _quoted(outside)
    assert set(answer) == {"token", "key_id", "quote"}
    assert content_of(answer["token"]) == answer["quote"]
    assert answer["key_id"] == RFC_THUMBPRINT
    assert answer["quote"]["issued_on"] == TODAY.isoformat()
    assert verified(answer["token"], KEYS, datetime.now(UTC)).genuine


def test_both_forms_sign_the_same_quote_and_the_inside_form_adds_the_cost_lines(ask: Ask, outside: Ask) -> None:
    inside, public = _quoted(ask), _quoted(outside)
    assert inside["token"] == public["token"]
    assert inside["price"]["total"] == public["quote"]["total"]
    assert {"rate", "module"} <= set(inside["price"]["lines"][0])


def test_the_same_request_on_the_same_day_is_the_same_quote(outside: Ask) -> None:
    assert _quoted(outside) == _quoted(outside)


def test_a_settled_price_is_logged_with_who_and_why_and_shown_inside_alone(ask: Ask, logs: Logs) -> None:
    answer = _quoted(ask, SETTLED)
    assert answer["override"] == {"total": "4000.00", "by": "R. Pell", "why": "first order"}
    (event,) = [entry for entry in logs if entry["event"] == "price settled"]
    assert (event["quote"], event["by"], event["why"]) == (answer["quote"]["number"], "R. Pell", "first order")
    assert "first order" not in json.dumps(answer["quote"])


def test_the_outside_form_names_everything_that_is_not_for_it_to_say(outside: Ask) -> None:
    body = asked(SETTLED | {"issued_on": "2026-01-05"}) | {"as_of": "2026-01-05"}
    errors = problem(outside("POST", QUOTES, json=body), 422, "invalid-request")
    assert set(errors) == {"/as_of", "/quote/override", "/quote/issued_on"}


def test_a_quote_of_today_is_genuine_valid_and_costs_the_same_today(outside: Ask) -> None:
    answer = _quoted(outside)
    found = _verdict(outside, answer["token"])
    assert (found["genuine"], found["valid"], found["state"], found["key_id"]) == (True, True, "valid", RFC_THUMBPRINT)
    assert found["quote"] == answer["quote"]
    assert found["today"]["comparison"]["difference"] == "0.00"
    assert found["today"]["rate_card"]["id"] == HERE.cards[-1].id


def test_an_old_quote_is_expired_and_not_invalid(ask: Ask) -> None:
    old = max(TODAY - timedelta(days=40), HERE.cards[0].effective_from)
    answer = _quoted(ask, {"issued_on": old.isoformat(), "valid_until": old.isoformat()})
    found = _verdict(ask, answer["token"])
    assert (found["genuine"], found["valid"], found["state"]) == (True, False, "expired")
    assert found["reason"] == f"was valid until {old}"
    assert found["quote"]["number"] == answer["quote"]["number"]


def test_a_changed_token_is_not_genuine_and_nothing_of_it_is_repeated(outside: Ask) -> None:
    token = _quoted(outside)["token"]
    found = _verdict(outside, token.replace(".", ".A", 1))
    assert (found["genuine"], found["valid"], found["state"]) == (False, False, "not-genuine")
    assert not {"quote", "today"} & set(found)


def test_todays_price_of_a_quote_names_what_changed_line_by_line(ask: Ask) -> None:
    found = _verdict(ask, _quoted(ask, SETTLED)["token"])["today"]["comparison"]
    changed = {line["item"]: line["difference"] for line in found["lines"] if Decimal(line["difference"])}
    assert changed == {"Price settled by R. Pell": found["difference"]}


def test_quotes_signed_before_a_key_was_rotated_go_on_being_verified() -> None:
    token = _quoted(asking(create_app(HERE, customers(), KEYS)))["token"]
    from joserfc.jwk import OKPKey  # noqa: PLC0415 - next to its use

    first = msgspec.json.decode(msgspec.json.encode(KEYS.published), type=type(KEYS.published))
    after = asking(create_app(HERE, customers(), key_set(first, OKPKey.generate_key("Ed25519"), TODAY)))
    assert _verdict(after, token)["valid"]
    assert len(after("GET", KEY_SET).json()["keys"]) == 2


def test_the_public_keys_stand_at_a_well_known_place(outside: Ask) -> None:
    response = outside("GET", KEY_SET)
    assert response.headers["content-type"] == "application/jwk-set+json"
    (key,) = response.json()["keys"]
    assert (key["kid"], key["crv"], "d" in key) == (RFC_THUMBPRINT, "Ed25519", False)


@pytest.mark.parametrize(
    ("method", "path", "body"),
    [("POST", QUOTES, asked()), ("POST", VERIFICATION, {"token": "a.b.c"}), ("GET", KEY_SET, None)],
)
def test_a_service_without_keys_says_what_to_do(method: str, path: str, body: Any) -> None:
    response = asking(create_app(HERE))(method, path, **({"json": body} if body else {}))
    problem(response, 501, "no-quote-keys")
    assert "--quote-keys FILE" in response.json()["detail"]


def test_a_service_whose_keys_sign_nothing_still_verifies_and_says_why_it_does_not_quote() -> None:
    from tallyplate.quote.keys import read_keys  # noqa: PLC0415 - next to its use

    reading = asking(create_app(HERE, None, read_keys(msgspec.json.encode(KEYS.published))))
    response = reading("POST", QUOTES, json=asked())
    problem(response, 501, "no-quote-keys")
    assert "holds no private key" in response.json()["detail"]
    assert _verdict(reading, _quoted(asking(create_app(HERE, None, KEYS)))["token"])["valid"]


@pytest.mark.parametrize("body", [{}, [], {"token": 7}, {"token": "x", "keys": []}])
def test_a_verification_of_another_shape_is_refused(ask: Ask, body: Any) -> None:
    assert problem(ask("POST", VERIFICATION, json=body), 422, "invalid-request")


@pytest.mark.parametrize("path", [QUOTES, VERIFICATION])
def test_what_is_not_json_is_refused(ask: Ask, path: str) -> None:
    problem(ask("POST", path, content=b"{", headers={"content-type": "application/json"}), 400, "malformed-json")
    problem(ask("POST", path, content=b"{}", headers={"content-type": "text/plain"}), 415, "not-json")
    long = json.dumps({"token": "x" * MAX_BODY}).encode()
    problem(ask("POST", path, content=long, headers={"content-type": "application/json"}), 413, "too-large")


def test_a_token_that_a_verification_would_not_read_is_not_signed(ask: Ask, monkeypatch: pytest.MonkeyPatch) -> None:
    assert MOST < MAX_BODY
    monkeypatch.setattr("tallyplate.quote.signing.MOST", 1000)
    response = ask("POST", QUOTES, json=asked())
    problem(response, 422, "invalid-request")
    assert "accepted: at most 1000" in response.json()["detail"]


def test_a_quote_reads_back_as_the_type_that_it_was_made_from(ask: Ask) -> None:
    answer = _quoted(ask, {"customer": CUSTOMER})
    assert msgspec.convert(answer["quote"], Quote) == made({"customer": CUSTOMER}, today=TODAY).quote
