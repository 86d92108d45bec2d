"""Lengths one step away from a length, in the unit and the manner that the caller wrote it in."""

from collections.abc import Iterator
from fractions import Fraction
from functools import cache
from math import ceil, floor
from typing import Final

from msgspec import Struct

from tallyplate.lattice import GUARD
from tallyplate.units import LENGTH_UNITS, Length, UnitError, exact, length

PITCH: Final = {"metric": Fraction(5), "inch": Fraction(254, 40)}
"""A step of pitch in mm: 5 mm or 1/4 in (common practice, no source)."""

THICKNESS: Final = {"metric": Fraction(1, 2), "inch": Fraction(254, 200)}
"""Finished thicknesses are whole multiples of this in mm: 0.5 mm or 0.05 in (common practice, no source)."""

TOLERANCE: Final = {"metric": Fraction(1), "inch": Fraction(254, 10)}
"""What tolerances are round numbers of, in mm: a millimetre or an inch."""

ROUND: Final = (1, 2, 3, 5)
"""Leading digits of usual tolerances (common practice, no source)."""

DECIMALS: Final = 9
"""Most decimals of a length as text."""

LARGEST_DENOMINATOR: Final = 64
"""Of a fraction of an inch as it is read off a rule."""

DOUBLED: Final = 32
"""Times that a step may be doubled; from the finest to beyond the longest length."""


class Manner(Struct, frozen=True):
    """How somebody writes a length: its unit, and whether as a fraction."""

    unit: str
    fraction: bool

    @property
    def system(self) -> str:
        """The system that its unit belongs to."""
        return "inch" if self.unit in {"in", "ft"} else "metric"

    def number(self, mm: Fraction) -> Fraction:
        """A length as a number of the unit."""
        return mm / _millimetres(self.unit)

    def text(self, mm: Fraction) -> str | None:
        """A length as text; None where it is none that a caller may write."""
        value = self.number(mm)
        whole, rest = divmod(value, 1)
        if self.fraction and rest and rest.denominator <= LARGEST_DENOMINATOR:
            written = f"{whole} {rest}" if whole else f"{rest}"
        elif (value * 10**DECIMALS).denominator == 1:
            written = decimal(value)
        else:
            written = f"{whole} {rest}" if whole else f"{rest}"
        try:
            return length(f"{written} {self.unit}").text
        except UnitError:
            return None


def manner(text: str) -> Manner:
    """How a length is written."""
    unit = max((unit for unit in LENGTH_UNITS if text.endswith(unit)), key=len)
    return Manner(unit, "/" in text)


def decimal(value: Fraction) -> str:
    """A number as decimal text, to `DECIMALS` decimals, without trailing zeros."""
    digits = f"{round(value * 10**DECIMALS):0{DECIMALS + 1}d}"
    return f"{digits[:-DECIMALS]}.{digits[-DECIMALS:]}".rstrip("0").rstrip(".")


@cache
def _millimetres(unit: str) -> Fraction:
    return exact(f"1 {unit}", "mm")


def below(value: float, step: Fraction) -> Fraction:
    """The greatest multiple of a step that is less than a length in mm."""
    return (ceil(value / float(step) - GUARD) - 1) * step


def above(value: float, step: Fraction) -> Fraction:
    """The least multiple of a step that is more than a length in mm."""
    return (floor(value / float(step) + GUARD) + 1) * step


def around(value: Length, step: Fraction, most: int) -> Iterator[Fraction]:
    """Multiples of a step from half to twice a length; the step is doubled until there are at most so many."""
    for doubled in range(DOUBLED):
        pace = step * 2**doubled
        first, last = ceil(value / 2 / float(pace) - GUARD), floor(2 * value / float(pace) + GUARD)
        if last - first < most:
            yield from (pace * many for many in range(max(first, 1), last + 1))
            return


def rounder(value: float, unit: Fraction) -> tuple[Fraction, Fraction]:
    """The usual tolerances next below and above one; all in mm."""
    numbers = [Fraction(digit) * Fraction(10) ** power * unit for power in range(-6, 6) for digit in ROUND]
    tighter = [number for number in numbers if number < value * (1 - GUARD)]
    looser = [number for number in numbers if number > value * (1 + GUARD)]
    return max(tighter, default=Fraction(0)), min(looser, default=Fraction(0))
