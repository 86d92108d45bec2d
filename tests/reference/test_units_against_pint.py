"""Our unit readings against pint's own registry, which reads its full file of definitions.

The service defines only the units that it uses, in a few lines of its own, and reads callers' lengths by a grammar of
its own; pint's full registry, exact in fractions, is the oracle for both.
"""

from fractions import Fraction
from functools import cache
from typing import Any

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallyplate.units import LENGTH_UNITS, LONGEST_MM, SHORTEST_MM, UnitError, exact, length

# A figure as a card writes it, its unit in pint's full registry, and the unit that the product keeps.
FIGURES = [
    ("USD/lb", "USD/pound", "USD/kg", "USD/kilogram"),
    ("USD/g", "USD/gram", "USD/kg", "USD/kilogram"),
    ("USD/min", "USD/minute", "USD/h", "USD/hour"),
    ("USD/day", "USD/day", "USD/h", "USD/hour"),
    ("USD/in**2", "USD/inch**2", "USD/m2", "USD/meter**2"),
    ("USD/ft^2", "USD/foot**2", "USD/m2", "USD/meter**2"),
    ("m/min", "meter/minute", "mm/s", "millimeter/second"),
    ("ft/min", "foot/minute", "mm/s", "millimeter/second"),
    ("in/min", "inch/minute", "mm/s", "millimeter/second"),
    ("cm^3/min", "centimeter**3/minute", "mm**3/s", "millimeter**3/second"),
    ("in^3/min", "inch**3/minute", "mm**3/s", "millimeter**3/second"),
    ("L/min", "liter/minute", "mm**3/s", "millimeter**3/second"),
    ("cm^2/min", "centimeter**2/minute", "mm**2/s", "millimeter**2/second"),
    ("lb/in^3", "pound/inch**3", "kg/mm**3", "kilogram/millimeter**3"),
    ("kg/m3", "kilogram/meter**3", "kg/mm**3", "kilogram/millimeter**3"),
    ("GPa", "gigapascal", "N/mm**2", "newton/millimeter**2"),
    ("MPa", "megapascal", "N/mm**2", "newton/millimeter**2"),
    ("um/m/K", "micrometer/meter/kelvin", "1/K", "1/kelvin"),
    ("lb", "pound", "kg", "kilogram"),
    ("kW", "kilowatt", "W", "watt"),
    ("h", "hour", "s", "second"),
    ("day", "day", "h", "hour"),
    ("%", "percent", "", ""),
]

numbers = st.decimals(min_value=0, max_value=999_999_999, places=4, allow_nan=False, allow_infinity=False).map(
    lambda number: f"{number:f}"
)


@cache
def full() -> "pint.UnitRegistry[Any]":
    registry: pint.UnitRegistry[Any] = pint.UnitRegistry(non_int_type=Fraction)
    registry.define("USD = [money]")
    return registry


def converted(number: Fraction, unit: str, to: str) -> Fraction:
    return Fraction(full().Quantity(number, unit).to(to).magnitude)


def read_as(number: Fraction, text: str, unit: str) -> None:
    """A length in range reads as the float nearest to pint's exact conversion; others are refused."""
    millimetres = converted(number, unit, "millimeter")
    if SHORTEST_MM <= millimetres <= LONGEST_MM:
        assert length(text) == float(millimetres)
    else:
        with pytest.raises(UnitError, match="out of range"):
            length(text)


@given(number=numbers, unit=st.sampled_from(LENGTH_UNITS), gap=st.sampled_from(["", " "]))
def test_a_decimal_length_reads_as_pints_own_registry_converts_it(number: str, unit: str, gap: str) -> None:
    read_as(Fraction(number), f"{number}{gap}{unit}", unit)


@given(
    whole=st.integers(0, 9999),
    over=st.integers(0, 9999),
    under=st.integers(1, 9999),
    unit=st.sampled_from(LENGTH_UNITS),
)
def test_a_fraction_of_an_inch_reads_as_pints_own_registry_converts_it(
    whole: int, over: int, under: int, unit: str
) -> None:
    read_as(whole + Fraction(over, under), f"{whole} {over}/{under} {unit}", unit)


@pytest.mark.parametrize(("written", "known_to_pint", "kept", "kept_by_pint"), FIGURES)
@given(number=numbers)
def test_a_figure_of_a_card_converts_exactly_as_pints_own_registry_does(
    written: str, known_to_pint: str, kept: str, kept_by_pint: str, number: str
) -> None:
    assert exact(f"{number} {written}", kept) == converted(Fraction(number), known_to_pint, kept_by_pint)


def test_a_revolution_counts_as_one_so_that_a_feed_a_turn_is_a_length() -> None:
    # Here we differ from pint on purpose: its revolution is 2 pi radians.
    assert exact("0.011 in/rev", "mm") == Fraction("0.2794")
    assert exact("600 rev/min", "rev/s") == 10
    assert converted(Fraction(1), "revolution", "turn") == 1


# Factors to the base unit, UN/ECE Recommendation 20 revision 17 (verified: its workbook), by our names for them.
REC_20 = {
    "m": ("1", "m"),
    "mm": ("0.001", "m"),
    "cm": ("0.01", "m"),
    "in": ("0.0254", "m"),
    "ft": ("0.3048", "m"),
    "kg": ("1", "kg"),
    "g": ("0.001", "kg"),
    "lb": ("0.45359237", "kg"),
    "s": ("1", "s"),
    "min": ("60", "s"),
    "h": ("3600", "s"),
    "cm^2": ("0.0001", "m^2"),
    "in^2": ("0.00064516", "m^2"),
    "ft^2": ("0.09290304", "m^2"),
    "cm^3": ("0.000001", "m^3"),
    "in^3": ("0.000016387064", "m^3"),
    "kW": ("1000", "W"),
}


@pytest.mark.parametrize("unit", REC_20)
def test_a_unit_has_the_factor_of_the_trade_recommendation(unit: str) -> None:
    factor, base = REC_20[unit]
    assert exact(f"1 {unit}", base) == Fraction(factor)
