"""Discounts: graduated, never more than the price, and refused where a card states them wrongly."""

from decimal import Decimal
from typing import Any

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallyplate.money import Rounding
from tallyplate.rates.quoting import PriceList, QuoteTerms
from tallyplate.rates.sections import money_hook
from tests.plates import installation
from tests.quote.quotes import made


def _list(*steps: tuple[str, str]) -> PriceList:
    written = [{"from": start, "discount": share} for start, share in steps]
    return msgspec.convert({"title": "list", "steps": written}, PriceList, dec_hook=money_hook("USD"))


FRAME = _list(("0 USD", "3 %"), ("5000 USD", "5 %"), ("25000 USD", "7.5 %"))


@pytest.mark.parametrize(
    ("total", "off"),
    [
        (0, 0),
        (1, 0),
        (100, 3),
        (500_000, 15_000),
        (500_100, 15_005),
        (3_000_000, 15_000 + 100_000 + 37_500),
        (50, 2),  # 1.5 cents, rounded half up
    ],
)
def test_each_part_of_a_total_is_reduced_by_its_own_share(total: int, off: int) -> None:
    assert FRAME.discount(total, Rounding.HALF_UP) == off


@st.composite
def _lists(draw: st.DrawFn) -> PriceList:
    starts = sorted(draw(st.sets(st.integers(1, 10**7), max_size=3)))
    shares = draw(st.lists(st.integers(0, 1000), min_size=len(starts) + 1, max_size=len(starts) + 1))
    steps = zip([0, *starts], shares, strict=True)
    return _list(*((f"{start / 100:.2f} USD", f"{share / 10} %") for start, share in steps))


@given(_lists(), st.integers(0, 10**8), st.integers(0, 10**6), st.sampled_from(Rounding))
def test_no_discount_raises_a_price_makes_it_negative_or_makes_a_dearer_plate_cheaper(
    price_list: PriceList, total: int, more: int, rounding: Rounding
) -> None:
    less, other = (at - price_list.discount(at, rounding) for at in (total, total + more))
    assert 0 <= less <= total
    assert less <= other


@pytest.mark.parametrize(
    ("steps", "says"),
    [
        ((), "steps start from 0"),
        ((("1 USD", "3 %"),), "steps start from 0"),
        ((("0 USD", "3 %"), ("0 USD", "4 %")), "must rise in from"),
        ((("0 USD", "3 %"), ("9 USD", "4 %"), ("8 USD", "5 %")), "must rise in from"),
        ((("0 USD", "100.1 %"),), "at most 100 %"),
        ((("0 EUR", "3 %"),), "EUR"),
        ((("0 USD", "3 USD"),), "3 USD"),
        ((("0 USD", "-3 %"),), "-3 %"),
    ],
)
def test_a_price_list_that_is_stated_wrongly_is_refused(steps: tuple[tuple[str, str], ...], says: str) -> None:
    with pytest.raises(msgspec.ValidationError, match=says):
        _list(*steps)


def test_all_may_be_given_away_but_no_more() -> None:
    assert _list(("0 USD", "100 %")).discount(12345, Rounding.HALF_UP) == 12345


def _terms(**changes: Any) -> QuoteTerms:
    said = {"valid": "30 day", "seller": {"name": "S"}, "payment": "net", "delivery": "EXW", **changes}
    return msgspec.convert(said, QuoteTerms, dec_hook=money_hook("USD"))


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"valid": "12 h"}, "valid must be whole days"),
        ({"valid": "0 day"}, "valid must be whole days"),
        ({"valid": "4000 day"}, "valid must be whole days"),
        ({"seller": {}}, "name"),
        ({"customers": {"a": {"price_list": "b"}}}, "the price list 'b' of customer 'a' is not here; here are: none"),
    ],
)
def test_terms_that_are_stated_wrongly_are_refused(changes: dict[str, Any], says: str) -> None:
    with pytest.raises(msgspec.ValidationError, match=says):
        _terms(**changes)


def test_days_are_read_as_days() -> None:
    assert float(_terms(valid="14 day").valid) == 14.0


def test_a_customers_discount_is_a_line_of_its_own_beside_the_list_price() -> None:
    plain, granted = made().quote, made({"customer": {"name": "B", "account": "brackwater"}}).quote
    assert granted.lines == plain.lines
    assert granted.list_total == plain.list_total == plain.total
    (line,) = granted.adjustments
    assert (line.item, line.basis) == ("Frame agreement 2026", "3 %")
    listed = Decimal(plain.total)
    assert Decimal(line.amount) == -(listed * Decimal("0.03")).quantize(Decimal("0.01"))
    assert Decimal(granted.total) == listed + Decimal(line.amount)


def test_a_discount_says_the_steps_that_a_total_reaches() -> None:
    (line,) = made({"customer": {"name": "B", "account": "brackwater"}}, {"/quantity": 3}).quote.adjustments
    assert line.basis == "3 %; 5 % of what is above 5000.00"


def test_every_customer_of_the_demonstration_has_a_price_list() -> None:
    terms = installation().cards[-1].quotes
    assert terms
    lists = {account: terms.price_list(account) for account in terms.customers}
    assert {account: one.title for account, one in lists.items() if one} == {
        "brackwater": "Frame agreement 2026",
        "ostrander-tool": "Tool room price list",
        "thornwick-gauge": "Bushing agreement",
    }
