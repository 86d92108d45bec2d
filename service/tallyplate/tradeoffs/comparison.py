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
    modules = list(dict.fromkeys(module for module, _, _ in [*in_a, *in_b]))
    lines = []
    for module, item, number in sorted(dict.fromkeys([*in_a, *in_b]), key=lambda key: modules.index(key[0])):
        old, new = (amounts.get((module, item, number), Decimal()) for amounts in (in_a, in_b))
        lines.append(LineDifference(module, item, str(old), str(new), str(new - old)))
    old, new = Decimal(a.total), Decimal(b.total)
    return Comparison(a.currency, a.total, b.total, str(new - old), percent(old, new), by_module(lines), tuple(lines))


def by_module(lines: Iterable[LineDifference | ModuleDifference]) -> tuple[ModuleDifference, ...]:
    """Differences summed over the lines of each module, in the order that modules first appear."""
    sums: dict[str, tuple[Decimal, Decimal]] = {}
    for line in lines:
        old, new = sums.get(line.module, (Decimal(), Decimal()))
        sums[line.module] = old + Decimal(line.a), new + Decimal(line.b)
    return tuple(
        ModuleDifference(module, str(old), str(new), str(new - old), percent(old, new))
        for module, (old, new) in sums.items()
    )


def percent(old: Decimal, new: Decimal, decimals: int = 2) -> str:
    """A change in percent of the old figure; "" where there was nothing."""
    return f"{(new - old) / old * 100:z.{decimals}f}" if old else ""


def _amounts(lines: Iterable[LineAnswer]) -> dict[Key, Decimal]:
    seen: Counter[tuple[str, str]] = Counter()
    amounts: dict[Key, Decimal] = {}
    for line in lines:
        name = line.module, line.item
        amounts[*name, seen[name]] = Decimal(line.amount)
        seen[name] += 1
    return amounts
