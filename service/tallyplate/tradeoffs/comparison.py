"""Two prices side by side, line by line: the differences sum exactly to the difference in price."""

from collections import Counter
from collections.abc import Iterable
from decimal import Decimal

from msgspec import Struct

from tallyplate.answers import LineAnswer, PriceAnswer
from tallyplate.contract import refuse

Key = tuple[str, str, int]
"""Module, item, and which of several lines of that name."""


class LineDifference(Struct, frozen=True):
    """One line in both prices; an amount is "0" where a price has no such line."""

    module: str
    item: str
    a: str
    b: str
    difference: str


class ModuleDifference(Struct, frozen=True):
    """All lines of a module; `percent` of the first price's, "" where that had none."""

    module: str
    a: str
    b: str
    difference: str
    percent: str


class Comparison(Struct, frozen=True):
    """From price a to price b; positive differences are dearer."""

    currency: str
    a: str
    b: str
    difference: str
    percent: str
    modules: tuple[ModuleDifference, ...]
    lines: tuple[LineDifference, ...]


def compare(a: PriceAnswer, b: PriceAnswer) -> Comparison:
    """The difference of two prices; refuses two currencies."""
    if a.currency != b.currency:
        raise refuse("/b", f"is in {b.currency}, the other in {a.currency}; accepted: one currency")
    in_a, in_b = _amounts(a.lines), _amounts(b.lines)
    keys = list(dict.fromkeys([*in_a, *in_b]))
    lines = tuple(
        LineDifference(module, item, _text(old), _text(new), _text(new - old))
        for module, item, number in keys
        for old, new in [(in_a.get((module, item, number), Decimal()), in_b.get((module, item, number), Decimal()))]
    )
    return Comparison(
        currency=a.currency,
        a=a.total,
        b=b.total,
        difference=_text(Decimal(b.total) - Decimal(a.total)),
        percent=percent(Decimal(a.total), Decimal(b.total)),
        modules=by_module(lines),
        lines=lines,
    )


def by_module(lines: Iterable[LineDifference]) -> tuple[ModuleDifference, ...]:
    """Differences summed over the lines of each module, in the order that modules first appear."""
    sums: dict[str, tuple[Decimal, Decimal]] = {}
    for line in lines:
        old, new = sums.get(line.module, (Decimal(), Decimal()))
        sums[line.module] = old + Decimal(line.a), new + Decimal(line.b)
    return tuple(
        ModuleDifference(module, _text(old), _text(new), _text(new - old), percent(old, new))
        for module, (old, new) in sums.items()
    )


def _amounts(lines: Iterable[LineAnswer]) -> dict[Key, Decimal]:
    seen: Counter[tuple[str, str]] = Counter()
    amounts: dict[Key, Decimal] = {}
    for line in lines:
        name = line.module, line.item
        amounts[*name, seen[name]] = Decimal(line.amount)
        seen[name] += 1
    return amounts


def percent(old: Decimal, new: Decimal) -> str:
    """A change in percent of the old figure to two decimals; "" where there was nothing."""
    return f"{(new - old) / old * 100:.2f}" if old else ""


def _text(amount: Decimal) -> str:
    return f"{amount:f}"
