"""Money: minor units by ISO 4217, one rounding, and text that says the count to its last decimal."""

from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal, localcontext
from fractions import Fraction

import pytest

from tallyplate.contract import PerHour, PerKilogram, PerPiece, Share, Sum
from tallyplate.money import Rounding, minor_digits, rescale, spread, text
from tallyplate.units import UnitError

RULES = {Rounding.HALF_UP: ROUND_HALF_UP, Rounding.HALF_EVEN: ROUND_HALF_EVEN}


@pytest.mark.parametrize(
    # ISO 4217, table A.1, column "minor unit" (from memory).
    ("currency", "digits"),
    [("USD", 2), ("EUR", 2), ("GBP", 2), ("JPY", 0), ("KRW", 0), ("KWD", 3), ("BHD", 3), ("CLF", 4)],
)
def test_the_minor_unit_is_that_of_iso_4217(currency: str, digits: int) -> None:
    assert minor_digits(currency) == digits


@pytest.mark.parametrize("code", ["", "usd", "US", "USDD", "ZZZ", "XAU", "XXX", "U$D", "840", "U" * 5_000])
def test_a_code_without_a_minor_unit_is_refused(code: str) -> None:
    with pytest.raises(ValueError, match="is not an ISO 4217 currency code with a minor unit, such as 'USD'"):
        minor_digits(code)


@pytest.mark.parametrize("rule", Rounding)
@pytest.mark.parametrize("dropped", [0, 1, 2, 3])
def test_rounding_is_that_of_the_decimal_module_for_every_count(rule: Rounding, dropped: int) -> None:
    # Python's decimal module implements ROUND_HALF_UP and ROUND_HALF_EVEN of IEEE 754 and is no part of ours.
    for count in [*range(2_600), *range(10**17 - 60, 10**17 + 60)]:
        with localcontext(prec=60):
            exact = Decimal(count).scaleb(-dropped).quantize(Decimal(1), RULES[rule])
        assert rescale(count, 2 + dropped, 2, rule) == int(exact)


@pytest.mark.parametrize("rule", Rounding)
def test_a_larger_product_never_rounds_to_less(rule: Rounding) -> None:
    rounded = [rescale(count, 3, 1, rule) for count in range(5_000)]
    assert rounded == sorted(rounded)


def test_more_decimals_add_zeros_and_nothing_else() -> None:
    assert rescale(123, 2, 6) == 1_230_000
    assert rescale(0, 0, 4) == 0


@pytest.mark.parametrize("decimals", [0, 1, 2, 4, 6])
def test_text_says_the_count_to_its_last_decimal(decimals: int) -> None:
    steps = [10**power + offset for power in range(20) for offset in (-1, 0, 1, 5)]
    for count in [*range(1_200), *steps, 123_456_789_012_345_678]:
        written = text(count, decimals)
        with localcontext(prec=60):
            assert Decimal(written) == Decimal(count).scaleb(-decimals)
        assert len(written.partition(".")[2]) == decimals
        assert ("." in written) == bool(decimals)


@pytest.mark.parametrize(
    ("value", "written"),
    [
        ("9.40", "9.40"), ("9.4", "9.40"), ("9", "9.00"), ("9.405", "9.405"), ("0.123456", "0.123456"),
        ("0.1234564", "0.123456"), ("0.1234566", "0.123457"), ("0", "0.00"), ("100000", "100000.00"),
    ],
)  # fmt: skip
def test_a_rate_prints_as_it_is_used(value: str, written: str) -> None:
    rate = PerKilogram.read(f"{value} USD/kg", "USD")
    assert rate.text == written
    assert Fraction(rate.coefficient, 10**rate.decimals) == Fraction(written)


def test_rates_of_one_unit_compare_and_rates_of_two_are_never_equal() -> None:
    assert PerPiece(500, 2) == PerPiece(500, 2)
    assert hash(PerPiece(500, 2)) == hash(PerPiece(500, 2))
    assert PerPiece(500, 2) != PerHour(500, 2)
    assert PerPiece(51, 1) > PerPiece(509, 2)
    assert not PerPiece(509, 2) > PerPiece(51, 1)
    assert not PerPiece(51, 1) > PerPiece(510, 2)


@pytest.mark.parametrize(
    ("total", "weights", "shares"),
    [
        (100, [1, 1, 1], [34, 33, 33]),
        (10, [2, 1, 1], [5, 3, 2]),
        (11, [5, 3, 3], [5, 3, 3]),
        (7, [1, 4, 4], [1, 3, 3]),
        (8, [1, 4, 4], [1, 4, 3]),
        (10, [1, 2, 4], [1, 3, 6]),
        (7, [0, 0, 0], [7, 0, 0]),
        (0, [3, 4], [0, 0]),
        (0, [], []),
    ],
)
def test_a_total_is_shared_by_weight_and_the_largest_remainders_get_what_is_left(
    total: int, weights: list[int], shares: list[int]
) -> None:
    assert spread(total, weights) == shares


def test_a_share_and_a_sum_are_read_in_their_own_ways() -> None:
    assert Share.read("12.5 %", "USD").text == "0.125"
    assert Sum.read("450 USD", "USD").minor == 45_000
    assert Sum.read("450 JPY", "JPY").minor == 450
    with pytest.raises(UnitError, match="has parts of a minor unit; JPY has 0 decimals"):
        Sum.read("450.5 JPY", "JPY")
    with pytest.raises(UnitError, match="dimension"):
        Sum.read("450 EUR", "USD")
