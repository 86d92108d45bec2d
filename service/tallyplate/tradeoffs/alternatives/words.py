"""An alternative in one sentence: what changes, what is given up and gained by it, and what is saved."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from msgspec import Struct

from tallyplate.contract import ShopData
from tallyplate.tradeoffs import steps
from tallyplate.tradeoffs.alternatives.measures import Measures
from tallyplate.tradeoffs.choices import Value
from tallyplate.units import LENGTH_UNITS, MM_PER_INCH, decimal_text, length, listed

AS_ASKED = "As asked for: nothing is given up and nothing saved."


DECIMALS = 4
"""Decimals of a length in a sentence."""


class Changed(NamedTuple):
    """A field by its title, what it is and what it would be, in words."""

    title: str
    was: str
    will_be: str


class Speaking(Struct, frozen=True):
    """How the caller is spoken to: of the shop's materials by their titles, and in inches or not."""

    shop: ShopData
    inches: bool

    def said(self, value: Value | None) -> str:
        """A value in words."""
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, tuple):
            return listed([str(one) for one in value]) or "none"
        if value in self.shop.materials:
            return self.shop.materials[str(value)].title
        if self.inches and isinstance(value, str) and value[:1].isdigit() and value.endswith(LENGTH_UNITS):
            return self._in_inches(value)
        return "none" if value is None else str(value).replace("_", " ")

    def _in_inches(self, text: str) -> str:
        manner = steps.manner(text)
        short = manner.fraction or len(text.split(" ", maxsplit=1)[0].partition(".")[2]) <= DECIMALS
        return text if manner.system == "inch" and short else self.length(length(text))

    def length(self, mm: float) -> str:
        """A length as it is said."""
        number, unit = (mm / MM_PER_INCH, "in") if self.inches else (mm, "mm")
        said = decimal_text(number, DECIMALS)
        return f"{said} {unit}" if said != "0" else f"under {decimal_text(10**-DECIMALS, DECIMALS)} {unit}"


def sentence(changes: Sequence[Changed], before: Measures, after: Measures, saved: str, to: Speaking) -> str:
    """One sentence on an alternative; `saved` says what it does to the total."""
    if not changes:
        return AS_ASKED
    what = listed([f"{one.title.lower()} {one.will_be} instead of {one.was}" for one in changes])
    lost, won = listed(list(_lost(before, after, to))), listed(list(_won(before, after, to)))
    given = f"gives up {lost}" if lost else "gives up no clamping position, precision or stiffness"
    gained = f" but gains {won}" if won else ""
    return f"{what[0].upper()}{what[1:]}: {given}{gained}; {saved}."


def saving(difference: int, amount: str) -> str:
    """What a difference of the total means; the amount is its size with the currency."""
    if difference == 0:
        return "costs the same"
    return f"saves {amount}" if difference < 0 else f"costs {amount} more"


def _lost(before: Measures, after: Measures, to: Speaking) -> Iterator[str]:
    if after.positions < before.positions:
        yield f"{before.positions - after.positions:,} of {before.positions:,} clamping positions"
    if after.tolerance > before.tolerance:
        yield f"{to.length(after.tolerance - before.tolerance)} of position tolerance"
    if after.stiffness < before.stiffness:
        yield f"{_percent(1 - after.stiffness / before.stiffness)} of the stiffness"


def _won(before: Measures, after: Measures, to: Speaking) -> Iterator[str]:
    if after.positions > before.positions:
        yield f"{after.positions - before.positions:,} clamping positions"
    if after.tolerance < before.tolerance:
        yield f"{to.length(before.tolerance - after.tolerance)} of position tolerance"
    if after.stiffness > before.stiffness:
        yield f"{_percent(after.stiffness / before.stiffness - 1)} more stiffness"


def _percent(share: float) -> str:
    return f"{100 * share:.1f} %" if share >= 0.0005 else "under 0.1 %"  # noqa: PLR2004 - half of the last digit shown
