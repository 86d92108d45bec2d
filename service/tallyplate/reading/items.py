"""What a note consists of once figures have their meaning: words, numbers, lengths, sizes, screws, sums and dates."""

from collections.abc import Sequence
from fractions import Fraction
from typing import Any, Literal

from msgspec import Struct

from tallyplate.reading.numbers import Number
from tallyplate.reading.tokens import Token

Kind = Literal["word", "mark", "end", "code", "count", "length", "size", "screw", "sum", "date"]


class Measure(Struct, frozen=True):
    """A length as it was said; without a unit where none was.

    `perhaps_inches` is said of one with an "in" behind it that may be the preposition.
    """

    number: Number
    unit: str | None
    perhaps_inches: bool = False

    @property
    def text(self) -> str:
        """The length in the strict grammar; raises nothing, and is no length while its unit is open."""
        return f"{self.number.text} {self.unit}" if self.unit else self.number.text


class Factor(Struct, frozen=True):
    """One of the sizes of a box, where it stands, and what it was said to be, such as "long"."""

    measure: Measure
    role: str
    start: int
    end: int


class Named(Struct, frozen=True):
    """What names one of the things on offer; no name, and why, where it names none or more than one.

    `absent` is said of what is not on offer at all: the choices are then what is, and none of them was meant. It is a
    `rival` where it is certainly meant for the plate, so that another value contradicts it.
    """

    name: str | None
    choices: tuple[str, ...] = ()
    why: str = ""
    because: str = ""
    absent: bool = False
    rival: bool = True


class Item(Struct, frozen=True):
    """A meaning and the stretch of the note that it was read from."""

    kind: Kind
    text: str
    start: int
    end: int
    value: Any = None


Made = tuple[Item, int]
"""An item, and the token after it."""


def item(kind: Kind, tokens: Sequence[Token], at: int, after: int, value: object = None) -> Made:
    """An item of some tokens."""
    text = tokens[at].text if after == at + 1 else ""
    return Item(kind, text, tokens[at].start, tokens[after - 1].end, value), after


def plain(amount: Fraction) -> str:
    """An amount with a finite decimal expansion as decimal text; an inch fraction or a thousandth always has one."""
    digits = 0
    while (amount * 10**digits).denominator != 1:
        digits += 1
        if digits > 9:  # noqa: PLR2004 - the strict grammar's most decimals
            return f"{amount.numerator}/{amount.denominator}"
    whole = str(int(amount * 10**digits)).rjust(digits + 1, "0")
    return f"{whole[:-digits]}.{whole[-digits:]}" if digits else whole
