"""Figures that people write in rate cards and shop data: text with a unit, checked by dimension when it is loaded.

A cost module declares a struct whose fields have these types; the loader reads `"9.40 USD/kg"` into a `PerKilogram` and
refuses `"9.40 USD/m"`. A plugin with a quantity of its own adds a subclass, three lines each.
"""

from fractions import Fraction
from typing import ClassVar, Final, Self

from tallyplate import money, units

MONEY: Final = "money"
"""As a rate's unit: the rate is a share of an amount of money, and the quantity it multiplies is in the currency."""


class Rate:
    """What one `unit` costs: `coefficient` x 10**-`decimals` of the card's currency. Never negative.

    `quantity_decimals` is the resolution to which a quantity in this unit is rounded and printed. `currency` is that in
    which the rate was read, and empty for one that was made from figures, which is in the card's.
    """

    # A plain class: msgspec reads dataclasses and its own structs as JSON objects, and a rate is written as text.
    __slots__ = ("coefficient", "currency", "decimals", "text")

    unit: ClassVar[str] = "piece"
    quantity_decimals: ClassVar[int] = 0

    def __init__(self, coefficient: int, decimals: int) -> None:
        self.coefficient, self.decimals, self.currency = coefficient, decimals, ""
        self.text = money.text(coefficient, decimals)

    def __repr__(self) -> str:
        return f"{type(self).__name__}({self.text})"

    def __eq__(self, other: object) -> bool:
        """Equal where unit, figure and decimals are."""
        return type(other) is type(self) and (self.coefficient, self.decimals) == (other.coefficient, other.decimals)

    def __hash__(self) -> int:
        return hash((type(self), self.coefficient, self.decimals))

    def __gt__(self, other: "Rate") -> bool:
        """Whether a unit costs more by this rate than by another of the same unit."""
        return Fraction(self.coefficient, 10**self.decimals) > Fraction(other.coefficient, 10**other.decimals)

    @classmethod
    def of(cls, value: Fraction, least_decimals: int = 0, currency: str = "") -> Self:
        """The rate nearest to an exact value, at most six decimals and at least those of the currency."""
        coefficient = round(value * 10**money.MAX_DECIMALS)
        decimals = money.MAX_DECIMALS
        while decimals > least_decimals and coefficient % 10 == 0:
            coefficient, decimals = coefficient // 10, decimals - 1
        rate = cls(coefficient, decimals)
        rate.currency = currency
        return rate

    @classmethod
    def read(cls, written: str, currency: str) -> Self:
        """Read `"9.40 USD/kg"`; raises `units.UnitError` for another dimension or another currency."""
        value = units.exact(written, cls.written_unit(currency))
        return cls.of(value) if cls.unit is MONEY else cls.of(value, money.minor_digits(currency), currency)

    @classmethod
    def written_unit(cls, currency: str) -> str:
        """The unit that a card writes behind this rate."""
        return f"{currency}/{cls.unit}"


class PerPiece(Rate):
    """Money per piece; pieces are whole."""


class PerCharacter(Rate):
    """Money per engraved character."""

    unit = "character"


class PerKilogram(Rate):
    """Money per kilogram, to the gram."""

    unit = "kg"
    quantity_decimals = 3


class PerHour(Rate):
    """Money per hour, to the ten-thousandth (0.36 s)."""

    unit = "h"
    quantity_decimals = 4


class PerSquareMetre(Rate):
    """Money per square metre, to the square centimetre."""

    unit = "m2"
    quantity_decimals = 4


class PerOrder(Rate):
    """A lump of money: the quantity is 1, or how many times it is due."""

    unit = "lump"

    @classmethod
    def written_unit(cls, currency: str) -> str:
        """A lump is written as money alone: `"45 USD"`."""
        return currency


class Share(Rate):
    """A share of money, written as `"12 %"`."""

    unit = MONEY

    @classmethod
    def written_unit(cls, currency: str) -> str:  # noqa: ARG003 - the signature is the base's
        """A share is a plain ratio."""
        return ""


class Sum:
    """A sum of money in minor units, written as `"250 USD"`: a minimum or a limit rather than a price of something."""

    __slots__ = ("minor",)

    def __init__(self, minor: int) -> None:
        self.minor = minor

    def __repr__(self) -> str:
        return f"Sum({self.minor})"

    @classmethod
    def read(cls, written: str, currency: str) -> Self:
        """Read a sum; raises `units.UnitError` for another currency or for parts of a minor unit."""
        minor = units.exact(written, currency) * 10 ** money.minor_digits(currency)
        if minor.denominator != 1:
            message = f"{written!r} has parts of a minor unit; {currency} has {money.minor_digits(currency)} decimals"
            raise units.UnitError(message)
        return cls(minor.numerator)


class Figure(float):
    """A physical shop figure, converted to `unit` and rounded to a float once; where `positive`, never 0."""

    __slots__ = ()
    unit: ClassVar[str] = ""
    positive: ClassVar[bool] = False

    @classmethod
    def read(cls, written: str) -> Self:
        """Read `"90 m/min"`; raises `units.UnitError` for another dimension, and for 0 where that makes no sense."""
        figure = cls(units.exact(written, cls.unit))
        if cls.positive and not figure:
            message = f"{written!r} is nothing; accepted: more than 0 {cls.unit}"
            raise units.UnitError(message)
        return figure


class Millimetres(Figure):
    """A length in mm, which may be nothing: an allowance."""

    unit = "mm"


class Size(Millimetres):
    """A length in mm that is something: a diameter, a depth, a feed per revolution or per tooth."""

    positive = True


class Seconds(Figure):
    """A duration in s."""

    unit = "s"


class Hours(Figure):
    """A duration in h."""

    unit = "h"


class Days(Figure):
    """A duration in days."""

    unit = "day"


class Kilograms(Figure):
    """A mass in kg."""

    unit = "kg"
    positive = True


class MillimetresPerSecond(Figure):
    """A speed in mm/s: cutting speed, traverse."""

    unit = "mm/s"
    positive = True


class TurnsPerSecond(Figure):
    """A spindle speed in rev/s."""

    unit = "rev/s"
    positive = True


class KilogramsPerCubicMillimetre(Figure):
    """A density in kg/mm3."""

    unit = "kg/mm**3"
    positive = True


class CubicMillimetresPerSecond(Figure):
    """A removal rate in mm3/s."""

    unit = "mm**3/s"
    positive = True


class SquareMillimetresPerSecond(Figure):
    """An area rate in mm2/s: sawing, degreasing."""

    unit = "mm**2/s"
    positive = True


class HoursPerDay(Figure):
    """Capacity of a work centre, in h a working day."""

    unit = "h/day"
    positive = True


class Megapascals(Figure):
    """A strength or modulus in N/mm2."""

    unit = "N/mm**2"
    positive = True


class Kelvins(Figure):
    """A difference of temperatures in K."""

    unit = "K"
    positive = True


class PerKelvin(Figure):
    """A coefficient of linear thermal expansion in 1/K."""

    unit = "1/K"


class Degrees(Figure):
    """An angle in degrees."""

    unit = "deg"


class Ratio(Figure):
    """A plain ratio, written as `"15 %"` or `"0.15"`."""


class Percentage(Ratio):
    """A ratio that people say in percent, and write so alone: `"15 %"`. A bare 15 would be fifteen times the whole."""
