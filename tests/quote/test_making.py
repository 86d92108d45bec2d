"""Quotes: what they say, what they keep to themselves, and what cannot be quoted."""

import json
from datetime import date
from decimal import Decimal
from typing import Any

import msgspec
import pytest

from tallyplate.answers import PriceAnswer
from tallyplate.contract import Refusal
from tallyplate.installation import Form
from tallyplate.quote.content import Quote
from tallyplate.quoting import quote
from tests.plates import MINIMAL, installation
from tests.quote.quotes import CUSTOMER, ISSUED, asked, content_of, made, token

HERE = installation()
PLATES: dict[str, dict[str, Any]] = {
    "everything said": asked()["plate"],
    "in inches": MINIMAL["plate"],
    "round": {"family": "round", "diameter": "400 mm", "material": "al-6061-t6"},
    "tombstone": {
        "family": "tombstone", "faces": 4, "face_width": "250 mm", "height": "450 mm", "material": "steel-1018",
    },
    "steel, separate lattices": {
        "family": "rectangular", "length": "24 in", "width": "16 in", "material": "steel-1018",
        "pattern": {"arrangement": "separate", "locating": {"pitch": "100 mm", "origin": {"x": "75 mm", "y": "75 mm"}},
                    "tapped": {"pitch": "50 mm", "origin": {"x": "50 mm", "y": "50 mm"}}},
        "mounting": {"surface": "none"},
    },
}  # fmt: skip


def _faults(*args: Any, **how: Any) -> dict[str, str]:
    with pytest.raises(Refusal) as refused:
        made(*args, **how)
    return {fault.pointer: fault.message for fault in refused.value.faults}


def _priced() -> dict[str, Any]:
    return {name: value for name, value in asked().items() if name != "quote"}


def _amount(text: str) -> Decimal:
    return Decimal(text)


def test_a_quote_says_who_to_whom_from_when_and_until_when() -> None:
    said = made({"reference": "RFQ 7", "note": "As discussed."}).quote
    assert (said.seller.name, said.customer.name) == ("Harrow & Pell Fixture Works", "Brackwater Valve")
    assert (said.issued_on, said.valid_until) == (ISSUED, date(2026, 4, 1))
    assert (said.reference, said.note) == ("RFQ 7", "As discussed.")
    assert said.terms.payment.startswith("Net 30 days")
    assert (said.rate_card.digest, said.shop_data.digest) == (HERE.cards[-1].digest, HERE.shops[-1].digest)


def test_the_plate_stands_in_one_line_in_both_systems_of_units() -> None:
    said = made().quote.title
    assert said == "Rectangular plate, Aluminium 6061-T6, 700 x 450 x 40 mm (27.559 x 17.717 x 1.575 in)"
    disc = quote({"plate": PLATES["round"], "quote": {"customer": CUSTOMER}}, HERE, Form.OUTSIDE, ISSUED).quote
    assert "diameter 400 x 48.26 mm (15.748 x 1.9 in)" in disc.title


def test_the_lines_sum_to_the_total_and_the_total_is_the_price() -> None:
    said = made().quote
    assert sum(_amount(line.amount) for line in said.lines) == _amount(said.total)
    assert said.total == said.list_total == said.payable == HERE.price(_priced(), ISSUED).total


def test_no_cost_rate_or_hour_of_the_inside_is_in_a_token() -> None:
    found = made()
    inside = {line.amount for line in found.price.lines} | {line.rate for line in found.price.lines}
    inside |= set(found.price.hours.values()) - {"0"}
    content = content_of(token(found.quote))
    text = json.dumps(content)
    assert not [figure for figure in inside if f'"{figure}"' in text]
    for word in ("work_center", "overhead", "hours", '"rate"', '"basis"', '"module"'):
        assert word not in text
    assert not any(line["item"].lower() in {"margin", "minimum"} for line in content["lines"])


@pytest.mark.parametrize("plate", PLATES.values(), ids=PLATES)
def test_the_request_in_a_quote_makes_the_same_plate_with_nothing_left_to_assume(plate: dict[str, Any]) -> None:
    said = quote({"plate": plate, "quote": {"customer": CUSTOMER}}, HERE, Form.OUTSIDE, ISSUED).quote
    again = HERE.price(said.request, ISSUED)
    assert again.total == said.total
    assert again.assumed == ()


def test_what_is_assumed_is_said() -> None:
    said, price = made().quote, made().price
    assert isinstance(price, PriceAnswer)
    assert [one.pointer for one in said.assumed] == [one.pointer for one in price.assumed]
    assert said.request["plate"]["flatness"] == "0.05 mm"


def test_a_budget_and_what_is_found_about_it_stay_with_the_caller() -> None:
    found = made(changes={"/budget": "10.00 USD"})
    assert "over-budget" in {one.code for one in found.price.findings}
    assert "over-budget" not in {one.code for one in found.quote.findings}
    assert "budget" not in found.quote.request
    assert {one.code for one in found.quote.findings} >= {"heavy"}


def test_freight_and_tax_are_shown_apart_as_they_were_stated() -> None:
    said = made({
        "freight": {"amount": "120.5 USD", "words": "By road to Toledo"},
        "tax": {"amount": "310 USD", "words": "Sales tax 6.75 %"},
    }).quote  # fmt: skip
    assert said.freight
    assert said.tax
    assert (said.freight.amount, said.tax.amount, said.tax.words) == ("120.50", "310.00", "Sales tax 6.75 %")
    assert said.total == made().quote.total
    assert _amount(said.payable) == _amount(said.total) + Decimal("430.50")


def test_a_settled_price_says_who_and_never_why() -> None:
    found = made({"override": {"total": "4000 USD", "by": "R. Pell", "why": "to win them back"}})
    (line,) = found.quote.adjustments
    assert (line.item, line.amount) == ("Price settled by R. Pell", "-604.20")
    assert (found.quote.total, found.quote.unit_price) == ("4000.00", "2000.00")
    assert "win them back" not in json.dumps(content_of(token(found.quote)))


def test_a_price_may_be_settled_after_a_discount_and_upwards() -> None:
    account = {"customer": {"name": "B", "account": "ostrander-tool"}}
    said = made({**account, "override": {"total": "5000.00 USD", "by": "R. Pell", "why": "rush"}}).quote
    assert [line.item for line in said.adjustments] == ["Tool room price list", "Price settled by R. Pell"]
    assert _amount(said.list_total) + sum(_amount(line.amount) for line in said.adjustments) == Decimal(5000)


def test_other_quantities_are_priced_on_the_same_terms_each_once_and_in_order() -> None:
    said = made({"quantities": [10, 1, 10], "customer": {"name": "B", "account": "ostrander-tool"}}).quote
    assert [one.quantity for one in said.quantity_prices] == [1, 10]
    for one in said.quantity_prices:
        alone = made({"customer": {"name": "B", "account": "ostrander-tool"}}, {"/quantity": one.quantity}).quote
        assert (one.total, one.unit_price) == (alone.total, alone.unit_price)


def test_a_revision_names_the_quote_that_it_replaces() -> None:
    first = made().quote
    assert made({"replaces": first.number}).quote.replaces == first.number
    assert "such as Q-" in _faults({"replaces": "Q-1"})["/quote/replaces"]


def test_a_quote_dated_another_day_has_the_rates_and_the_dispatch_of_that_day() -> None:
    said = made({"issued_on": "2026-03-06"}).quote
    assert (said.as_of, said.issued_on) == (date(2026, 3, 6), date(2026, 3, 6))
    assert said.dispatch.working_days == 14
    assert said.dispatch.ready_on == date(2026, 3, 26)


def test_a_plate_that_cannot_be_made_is_not_quoted() -> None:
    faults = _faults(changes={"/plate/pattern/pitch": "14 mm"})
    assert faults
    assert all("cannot be quoted, since it cannot be made" in message for message in faults.values())
    assert all(pointer.startswith("/plate") for pointer in faults)


@pytest.mark.parametrize(
    ("says", "pointer", "message"),
    [
        ({"valid_until": "2026-03-01"}, "/quote/valid_until", "accepted: 2026-03-02 or later"),
        ({"customer": {"name": "B", "account": "nobody"}}, "/quote/customer/account", "'nobody' is no account"),
        ({"freight": {"amount": "9 EUR", "words": "x"}}, "/quote/freight/amount", "accepted: USD"),
        ({"tax": {"amount": "9.999 USD", "words": "x"}}, "/quote/tax/amount", "parts of a minor unit"),
        ({"override": {"total": "-1 USD", "by": "x", "why": "y"}}, "/quote/override/total", "is not a sum of money"),
        ({"override": {"total": "1 USD", "by": "x"}}, "/quote/override/why", "is required and missing"),
        ({"override": {"total": "1 USD", "by": "", "why": "y"}}, "/quote/override/by", "at least 1"),
        ({"quantities": [0]}, "/quote/quantities/0", "at least 1"),
        ({"quantities": list(range(1, 10))}, "/quote/quantities", "at most 8"),
        ({"customer": {"name": "B", "country": "us"}}, "/quote/customer/country", "two capital letters"),
        ({"customer": {"name": "x" * 121}}, "/quote/customer/name", "at most 120"),
        ({"issued_on": "2. 3. 2026"}, "/quote/issued_on", "2. 3. 2026"),
        ({"seller": {"name": "Somebody"}}, "/quote/seller", "unknown field"),
    ],
)  # fmt: skip
def test_what_cannot_be_quoted_is_named(says: dict[str, Any], pointer: str, message: str) -> None:
    assert message in _faults(says)[pointer]


def test_every_fault_of_plate_and_quote_is_named_at_once() -> None:
    faults = _faults({"customer": {}, "x": 1}, {"/plate/length": "0 mm", "/quantity": "many"})
    assert {*faults} >= {"/quote/customer/name", "/quote/x", "/plate/length", "/quantity"}


@pytest.mark.parametrize("request_", [{}, [], None, 7, {"plate": MINIMAL["plate"]}])
def test_a_request_without_a_quote_is_refused(request_: Any) -> None:
    with pytest.raises(Refusal, match="/quote: is required and missing"):
        quote(request_, HERE, Form.INSIDE, ISSUED)


@pytest.mark.parametrize("wanted", [None, [], "x", {}, {"customer": []}])
def test_a_quote_of_another_shape_is_refused(wanted: Any) -> None:
    for form in Form:
        with pytest.raises(Refusal, match="/quote"):
            quote({"plate": MINIMAL["plate"], "quote": wanted}, HERE, form, ISSUED)


def test_the_outside_form_takes_nothing_that_is_the_houses_to_say() -> None:
    says = {
        "customer": {"name": "B", "account": "brackwater"}, "issued_on": "2026-03-02", "valid_until": "2027-01-01",
        "override": {"total": "1 USD", "by": "me", "why": "cheap"},
    }  # fmt: skip
    request = asked(says) | {"as_of": "2026-01-05", "pins": {"rate_card": HERE.cards[-1].digest}}
    with pytest.raises(Refusal) as refused:
        quote(request, HERE, Form.OUTSIDE, ISSUED)
    assert {fault.pointer for fault in refused.value.faults} == {
        "/as_of", "/pins", "/quote/override", "/quote/issued_on", "/quote/valid_until", "/quote/customer/account",
    }  # fmt: skip
    assert quote(request, HERE, Form.INSIDE, ISSUED, may_settle=True).quote.total == "1.00"


def test_quotes_of_today_can_be_read_by_whoever_knows_format_1() -> None:
    said = json.loads(msgspec.json.encode(made().quote))
    assert said["format"] == 1
    later = msgspec.convert({**said, "carbon": "12 kg"}, Quote)
    assert later == made().quote
