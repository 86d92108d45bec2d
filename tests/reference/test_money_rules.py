"""Currencies' minor units and rounding against the standards.

Minor units: ISO 4217, list published 2026-01-01 (verified: PyPI iso4217 and babel 2.18 agree; babel is not installed
here). Rounding: half to even as in ISO 80000-1 annex B rule A (the rule verified in IS 2-1960, the ISO text not seen);
half up as Python's decimal rounds. The service's amounts are never negative, so neither are the examples.
"""

from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallyplate.money import Rounding, minor_digits, rescale, text

MINOR_UNITS = {
    "USD": 2,
    "EUR": 2,
    "GBP": 2,
    "CHF": 2,
    "JPY": 0,
    "KWD": 3,
    "BHD": 3,
    "TND": 3,
    "CLF": 4,
}

# Figure, decimals kept, half up, half to even (verified: run with Python's decimal; 123.55 also in the CICC data book).
EXAMPLES = [
    ("0.125", 2, "0.13", "0.12"),
    ("0.135", 2, "0.14", "0.14"),
    ("2.675", 2, "2.68", "2.68"),
    ("1.005", 2, "1.01", "1.00"),
    ("10.045", 2, "10.05", "10.04"),
    ("12.25", 1, "12.3", "12.2"),
    ("12.35", 1, "12.4", "12.4"),
    ("123.55", 1, "123.6", "123.6"),
]


@pytest.mark.parametrize(("currency", "digits"), MINOR_UNITS.items())
def test_a_currency_has_the_minor_unit_of_the_standard(currency: str, digits: int) -> None:
    assert minor_digits(currency) == digits


def rounded(figure: str, decimals: int, rounding: Rounding) -> str:
    places = len(figure.partition(".")[2])
    return text(rescale(int(figure.replace(".", "")), places, decimals, rounding), decimals)


@pytest.mark.parametrize(("figure", "decimals", "half_up", "half_even"), EXAMPLES)
def test_half_a_minor_unit_is_rounded_as_published(figure: str, decimals: int, half_up: str, half_even: str) -> None:
    assert rounded(figure, decimals, Rounding.HALF_UP) == half_up
    assert rounded(figure, decimals, Rounding.HALF_EVEN) == half_even


@given(value=st.integers(0, 10**18), decimals=st.integers(0, 12), kept=st.integers(0, 6))
@pytest.mark.parametrize(("ours", "theirs"), [(Rounding.HALF_UP, ROUND_HALF_UP), (Rounding.HALF_EVEN, ROUND_HALF_EVEN)])
def test_any_amount_rounds_as_pythons_decimal_does(
    ours: Rounding, theirs: str, value: int, decimals: int, kept: int
) -> None:
    exact = Decimal(value).scaleb(-decimals)
    assert Decimal(rescale(value, decimals, kept, ours)).scaleb(-kept) == exact.quantize(
        Decimal(1).scaleb(-kept), theirs
    )


def test_a_sum_split_evenly_leaves_the_last_cent_to_be_given_to_a_line() -> None:
    # 100.00 over three lines: 33.33 each, 0.01 left (derived).
    third = rescale(10_000 * 333_333_333, 11, 2, Rounding.HALF_UP)
    assert text(third, 2) == "33.33"
    assert text(10_000 - 3 * third, 2) == "0.01"
