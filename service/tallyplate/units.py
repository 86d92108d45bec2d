"""Text to SI and back: the only module that knows units.

Two doors. A caller's length goes through a strict grammar of our own (`length`), because callers are strangers and a
general unit parser evaluates expressions. A figure that finance or manufacturing wrote goes through pint (`exact`),
which converts it or refuses it by dimension. Both work in exact rationals; a float is rounded once, at the end.
"""

import re
from collections.abc import Iterable
from fractions import Fraction
from functools import cache, lru_cache
from typing import Any, Final, Self

import iso4217
import pint

MAX_TEXT: Final = 32
"""Longest length text that is read, in characters; no length needs more."""

SHORTEST_MM: Final = Fraction(1, 10_000)
"""Least length in mm: a tenth of a micrometre, finer than any shop holds or measures."""

LONGEST_MM: Final = Fraction(100_000)
"""Greatest length in mm: beyond any machine table, small enough for areas and volumes to stay exact to the cent."""

LENGTH_PATTERN: Final = r"^([0-9]{1,9}(\.[0-9]{1,9})?|([0-9]{1,6} )?[0-9]{1,6}/[0-9]{1,6}) ?(um|mm|cm|m|in|ft)$"
"""The grammar of a length, as published in the JSON Schemas: decimal, or whole number and fraction, then a unit."""

MORE_DECIMALS: Final = 8
"""Most decimals that are added to tell two figures apart."""

MM_PER_INCH: Final = 25.4
"""The international inch, exactly."""

LENGTH_UNITS: Final = ("um", "mm", "cm", "m", "in", "ft")

# In whole numbers, since a length is read for every field of every request and fractions are slow.
_SHORTEST_IN_MM, _LONGEST = int(1 / SHORTEST_MM), int(LONGEST_MM)

_ACCEPTED = f'a number or fraction and a unit, such as "600 mm" or "1 7/8 in" (units: {", ".join(LENGTH_UNITS)})'

_LENGTH = re.compile(
    r"(?:(?P<whole>[0-9]{1,9})(?:\.(?P<decimals>[0-9]{1,9}))?"
    r"|(?:(?P<units>[0-9]{1,6}) )?(?P<over>[0-9]{1,6})/(?P<under>[0-9]{1,6}))"
    r" ?(?P<unit>um|mm|cm|m|in|ft)\Z"
)
_FACTOR = r"[A-Za-z%]{1,20}[23]?(?:(?:\^|\*\*)[1-9])?"
_FIGURE = re.compile(
    rf"(?P<number>[0-9]{{1,12}}(?:\.[0-9]{{1,12}})?)(?: (?P<unit>{_FACTOR}(?:[/*]{_FACTOR}){{0,5}}))?\Z"
)

_CODE = re.compile(r"\b[A-Z]{3}\b")

_DEFINITIONS: Final = """
meter = [length] = m = metre
gram = [mass] = g
second = [time] = s
kelvin = [temperature] = K
piece = [pieces] = pcs
character = [characters]
revolution = [] = rev
percent = 1 / 100
degree = [angle] = deg
micro- = 1 / 1000000 = u-
milli- = 1 / 1000 = m-
centi- = 1 / 100 = c-
kilo- = 1000 = k-
mega- = 1000000 = M-
giga- = 1000000000 = G-
inch = 254 / 10000 * meter = in
foot = 12 * inch = ft
pound = 45359237 / 100000 * gram = lb
square_meter = meter ** 2 = m2
cubic_meter = meter ** 3 = m3
minute = 60 * second = min
hour = 60 * minute = h
day = 24 * hour
liter = meter ** 3 / 1000 = L
newton = kilogram * meter / second ** 2 = N
pascal = newton / meter ** 2 = Pa
watt = newton * meter / second = W
"""
# Only what plates, rates and shop figures use: pint's own file takes a second to read, and the tests hold these equal
# to it. A revolution counts as one, so that a feed per revolution is a length.


class UnitError(ValueError):
    """A text that is no figure, or a figure whose unit does not belong where it stands."""


class Length(float):
    """A length in mm that remembers the text it was given as, so that it can be shown back unchanged."""

    __slots__ = ("text",)
    text: str

    def __new__(cls, millimetres: float, text: str) -> Self:
        """Pair a value in mm with its text; use `length` to read a text."""
        self = super().__new__(cls, millimetres)
        self.text = text
        return self

    @property
    def mm(self) -> float:
        """The plain figure."""
        return float(self)

    def __getnewargs__(self) -> tuple[float, str]:  # type: ignore[override]
        """Let worker processes receive lengths."""
        return float(self), self.text

    def __repr__(self) -> str:
        return f"Length({self.text!r})"

    def __str__(self) -> str:
        return self.text


@cache
def _registry() -> "pint.UnitRegistry[Any]":
    registry: pint.UnitRegistry[Any] = pint.UnitRegistry(None, non_int_type=Fraction)
    for definition in _DEFINITIONS.strip().splitlines():
        registry.define(definition)
    return registry


@cache
def _with_money(units: str) -> "pint.UnitRegistry[Any]":
    """The registry, with the currencies of some units; all there are would take a tenth of a second of each start."""
    registry = _registry()
    for code in _CODE.findall(units):
        if code in iso4217.Currency.__members__ and code not in registry:
            registry.define(f"{code} = [money_{code}]")
    return registry


@cache
def _millimetres_per(unit: str) -> tuple[int, int]:
    """The exact factor from a length unit to mm, as numerator and denominator."""
    factor = Fraction(_registry().Quantity(Fraction(1), unit).to("mm").magnitude)
    return factor.numerator, factor.denominator


@lru_cache(maxsize=8192)
def length(text: str) -> Length:
    """Read a length such as "600 mm", "23.622 in" or "1 7/8 in" into mm, rounded once from the exact rational.

    Raises `UnitError`, which names the text and what would be accepted.
    """
    match = _LENGTH.match(text) if len(text) <= MAX_TEXT else None
    if match is None:
        what = "is negative" if _LENGTH.match(text[:MAX_TEXT].removeprefix("-")) else "is not a length"
        message = f"{text[: MAX_TEXT + 8]!r} {what}; give {_ACCEPTED}"
        raise UnitError(message)
    whole, decimals, units, over, under, unit = match.groups()
    if whole is not None:
        decimals = decimals or ""
        numerator, denominator = int(whole + decimals), 10 ** len(decimals)
    else:
        denominator = int(under)
        numerator = int(units or 0) * denominator + int(over)
    if denominator == 0:
        message = f"{text!r} divides by zero; give {_ACCEPTED}"
        raise UnitError(message)
    over_mm, under_mm = _millimetres_per(unit)
    numerator, denominator = numerator * over_mm, denominator * under_mm
    if not (denominator <= numerator * _SHORTEST_IN_MM and numerator <= _LONGEST * denominator):
        message = f"{text!r} is out of range; a length lies between 0.0001 mm and 100 m"
        raise UnitError(message)
    # The quotient of two whole numbers is rounded once, and rightly, however long they are.
    return Length(numerator / denominator, text)


def exact(text: str, unit: str) -> Fraction:
    """Read a written figure such as "9.40 USD/kg" and convert it exactly to `unit` ("" for a plain ratio).

    Raises `UnitError` when the text is no figure or has another dimension, naming both.
    """
    match = _FIGURE.match(text)
    if match is None:
        message = f'{text[:60]!r} is not a figure; write a number and a unit, such as "1.5 {unit or "%"}"'
        raise UnitError(message)
    number, written = match["number"], (match["unit"] or "").replace("%", "percent")
    registry = _with_money(f"{written} {unit}")
    try:
        converted = registry.Quantity(Fraction(number), written).to(unit)
    except pint.DimensionalityError:
        message = (
            f"{text!r} has the dimension of {match['unit'] or 'a plain number'}; expected a figure in {unit or '%'}"
        )
        raise UnitError(message) from None
    except (pint.UndefinedUnitError, pint.PintError, ArithmeticError, AttributeError, TypeError, ValueError):
        message = f"{text!r} has an unknown unit; expected a figure in {unit or '%'}"
        raise UnitError(message) from None
    return Fraction(converted.magnitude)


def decimal_text(value: float, places: int) -> str:
    """A figure as decimal text with at most `places` decimals and no trailing zeros, for people to read."""
    text = f"{value:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def counted(number: int, one: str, many: str = "") -> str:
    """A number with what is counted: `counted(1, "pass", "passes")` is "1 pass"; several usually end in s."""
    text = str(number)
    return f"{text} {one}" if text == "1" else f"{text} {many or one + 's'}"


def listed(parts: Iterable[str]) -> str:
    """Parts of a sentence one after the other, the last after an "and"; nothing of none."""
    *most, last = [*parts] or [""]
    return f"{', '.join(most)} and {last}" if most else last


def unlike(value: float, other: float, places: int) -> str:
    """A figure as `decimal_text` writes it, with as many more decimals as it takes to tell it from another."""
    written = ((decimal_text(value, more), decimal_text(other, more)) for more in range(places, places + MORE_DECIMALS))
    return next((text for text, beside in written if text != beside), decimal_text(value, places))
