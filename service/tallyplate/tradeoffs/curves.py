"""Curves: what a request costs over the range of one of its answers, as points."""

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Final

from msgspec import Struct

from tallyplate.inquiry import MAX_QUANTITY
from tallyplate.lattice import GUARD
from tallyplate.tradeoffs import steps
from tallyplate.tradeoffs.choices import QUANTITY, Choice, Value
from tallyplate.tradeoffs.neighbours import left_by_stock
from tallyplate.tradeoffs.start import Outcome, Start, fields
from tallyplate.units import length

CURVES: Final = ("quantity", "pitch", "thickness")
"""The answers whose curves are drawn, by the name of their field; a plate has those that it answers."""

MOST_POINTS: Final = 25
"""Points of one curve."""

PREFERRED: Final = ((10, 12, 15, 20, 25, 30, 40, 50, 60, 80), (10, 20, 30, 50))
"""Tenths of the numbers from one to ten at which quantities are tried; fewer where the curve is long."""

FURTHEST: Final = 50
"""The quantity that a curve reaches at least."""


class CurvePoint(Outcome, frozen=True, kw_only=True):
    """One value and its price; `at` is its number in the curve's unit, `present` says that it is the request's own."""

    value: Value
    at: str
    present: bool


class Curve(Struct, frozen=True):
    """The price of a request against one of its answers, least value first; set `pointer` to a point's value."""

    name: str
    title: str
    pointer: str
    unit: str
    points: tuple[CurvePoint, ...]


def curves(start: Start, names: Sequence[str] = CURVES) -> Iterator[Curve]:
    """Each curve of those names that a request has, of the first field of the name, at most `MOST_POINTS` points."""
    by_name = {
        choice.name: choice for choice in reversed(start.choices()) if choice.pointer == QUANTITY or choice.length
    }
    for name in names:
        choice = by_name.get(name)
        if choice:
            unit, values = _values(choice, start)
            points = tuple(_point(choice, value, at, start) for value, at in values)
            yield Curve(name, choice.title, choice.pointer, unit, points)


def _point(choice: Choice, value: Value, at: str, start: Start) -> CurvePoint:
    present = value == choice.value
    price = start.base if present else start.changed({choice.pointer: value})
    return CurvePoint(**fields(price), value=value, at=at, present=present)


def _values(choice: Choice, start: Start) -> tuple[str, list[tuple[Value, str]]]:
    """The unit of a choice's curve, and the values to try with their numbers in it."""
    if isinstance(choice.value, int):
        return "plates", [(many, str(many)) for many in quantities(choice.value)]
    text = choice.length or ""
    present, manner = length(text), steps.manner(text)
    if choice.name == "pitch":
        others = list(steps.around(present, steps.PITCH[manner.system] / 2, MOST_POINTS - 1))
    else:
        others = left_by_stock(text, start.plate, start.shop)
    apart = [mm for mm in others if abs(mm - present) > GUARD * present]
    near = _nearest(apart, Fraction(present), MOST_POINTS - 1)
    named: list[tuple[Fraction, str]] = [(mm, written) for mm in near if (written := manner.text(mm))]
    ordered = sorted([*named, (Fraction(present), text)])
    return manner.unit, [(written, steps.decimal(manner.number(mm))) for mm, written in ordered]


def quantities(present: int) -> list[int]:
    """Round quantities from one to well beyond the present one, which is among them."""
    limit = min(max(FURTHEST, 4 * present), MAX_QUANTITY)
    finest, coarsest = (
        sorted({present, *(one * 10**power // 10 for one in tenths for power in range(6) if not one * 10**power % 10)})
        for tenths in PREFERRED
    )
    within = [many for many in finest if many <= limit]
    return within if len(within) <= MOST_POINTS else [many for many in coarsest if many <= limit]


def _nearest(ordered: Sequence[Fraction], present: Fraction, most: int) -> Sequence[Fraction]:
    """So many values of a sorted list, about a value, as evenly on both sides as it allows."""
    middle = bisect_left(ordered, present)
    start = max(0, min(middle - most // 2, len(ordered) - most))
    return ordered[start : start + most]
