"""What one rate card says otherwise than another, figure by figure."""

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Final

from msgspec import Struct

from tallyplate.contract import CostModule
from tallyplate.rates.card import RateCard
from tallyplate.rates.sheet import Row, rows

OWN: Final = ("id", "effective_from")
"""What every card says of itself."""


class FigureChanged(Struct, frozen=True):
    """A figure by its place in a card, as each of two cards writes it; None where a card does not have it.

    `percent` is by how much the second is above the first, to a hundredth; None where they are not of one unit.
    """

    figure: str
    a: str | None
    b: str | None
    percent: str | None = None


def changed(a: RateCard, b: RateCard, modules: Mapping[str, CostModule]) -> Iterator[FigureChanged]:
    """Figures that differ, in the order of the second card's files, and then those that it has no more."""
    before, after = (_figures(card, modules) for card in (a, b))
    for place in (*after, *(place for place in before if place not in after)):
        old, new = (_text(figures.get(place)) for figures in (before, after))
        if old != new:
            percent = _percent(before[place], after[place]) if old and new else None
            yield FigureChanged(place, old, new, percent)


def _figures(card: RateCard, modules: Mapping[str, CostModule]) -> dict[str, Row]:
    found = {f"{row.section}.{row.key}".lstrip("."): row for row in rows(card, modules, {}) if row.key}
    return {place: row for place, row in found.items() if place not in OWN}


def _text(row: Row | None) -> str | None:
    return f"{row.figure} {row.unit}".rstrip() if row else None


def _percent(old: Row, new: Row) -> str | None:
    """None for what is no number, such as a name."""
    try:
        first, second = (Fraction(str(row.figure)) for row in (old, new))
    except ValueError:
        return None
    if old.unit != new.unit or not first:
        return None
    return f"{float((second / first - 1) * 100):.2f}"
