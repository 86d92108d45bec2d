"""What the house alone sees beside a quote: cost by line, hours by work centre, and what is left of the price."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Protocol

from msgspec import Struct

from tallyplate.answers import LineAnswer
from tallyplate.contract import CostModule, Stage
from tallyplate.quote.content import Quote

COSTS = (Stage.MAKE, Stage.OVERHEAD)
"""Stages whose lines are cost; what the others add is earned."""


class Work(Struct, frozen=True):
    """The cost lines of one module, and what they come to."""

    title: str
    lines: tuple[LineAnswer, ...]
    amount: str


class Inside(Struct, frozen=True):
    """Cost, and what the quote's total leaves above it, as an amount and in percent of the total."""

    works: tuple[Work, ...]
    hours: Mapping[str, str]
    cost: str
    left: str
    percent: str
    settled_by: str = ""
    why: str = ""


class Costed(Protocol):
    """A price with its cost lines, of a plate or of a set."""

    @property
    def lines(self) -> list[LineAnswer]:
        """Every line."""

    @property
    def hours(self) -> dict[str, str]:
        """Time by work centre."""


def inside(
    quote: Quote, price: Costed, modules: Mapping[str, CostModule], settled_by: str = "", why: str = ""
) -> Inside:
    """The inside of a quote, from the price that it was made from."""
    by_module: dict[str, list[LineAnswer]] = {}
    for line in price.lines:
        if modules[line.module].stage in COSTS:
            by_module.setdefault(line.module, []).append(line)
    works = tuple(_work(modules[name].title or name, lines) for name, lines in by_module.items())
    cost, total = sum((Decimal(work.amount) for work in works), Decimal()), Decimal(quote.total)
    left = total - cost
    percent = f"{100 * left / total:.1f}" if total else ""
    return Inside(works, price.hours, str(cost), str(left), percent, settled_by, why)


def _work(title: str, lines: list[LineAnswer]) -> Work:
    amount = sum((Decimal(line.amount) for line in lines), Decimal())
    return Work(title[:1].upper() + title[1:], tuple(lines), str(amount))
