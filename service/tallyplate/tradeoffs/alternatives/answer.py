"""From a search to what a caller is told of it."""

from collections.abc import Callable, Iterable
from math import prod
from typing import Any, Final

from msgspec import UNSET, Struct

from tallyplate import money
from tallyplate.answers import PriceAnswer
from tallyplate.contract import Build
from tallyplate.pointers import applied
from tallyplate.pricing import unit_price
from tallyplate.tradeoffs.alternatives.front import Found
from tallyplate.tradeoffs.alternatives.measures import Measures, measures
from tallyplate.tradeoffs.alternatives.pricer import Pricer
from tallyplate.tradeoffs.alternatives.search import search
from tallyplate.tradeoffs.alternatives.told import (
    Alternative,
    AlternativesAnswer,
    Driver,
    Exchange,
    Free,
    NothingFits,
    Present,
)
from tallyplate.tradeoffs.alternatives.variables import Variable, options
from tallyplate.tradeoffs.alternatives.words import Changed, Speaking, saving, sentence
from tallyplate.tradeoffs.start import Start, errors
from tallyplate.units import decimal_text, listed

MOST_DRIVERS: Final = 3

Drivers = Callable[[PriceAnswer], Iterable[tuple[str, int]]]
"""What a price is made of, as a caller may see it: names, and amounts in minor units."""


class Asked(Struct, frozen=True):
    """A request whose variables may change: its present build, and its budget in minor units."""

    start: Start
    build: Build
    pricer: Pricer
    variables: tuple[Variable, ...]
    budget: int
    drivers: Drivers


def alternatives(asked: Asked) -> AlternativesAnswer:
    """The alternatives of a request; raises `PluginFailure`, and `Refusal` for a search that is too long."""
    base = asked.start.base
    found = search(asked.start.request, asked.variables, asked.pricer, asked.budget)
    present = measures(asked.build, asked.pricer.shop)
    return AlternativesAnswer(
        currency=base.currency,
        quantity=base.quantity,
        budget=money.text(asked.budget, asked.pricer.card.minor_digits),
        present=Present(**_standing(_total(asked), present, asked), can_be_made=not errors(base)),
        may_change=tuple(Free(one.pointer, one.title, one.present, one.given, one.others) for one in asked.variables),
        examined=prod(variable.count for variable in asked.variables),
        possible=found.possible,
        alternatives=tuple(_alternative(one, present, asked) for one in found.within),
        nothing_fits=UNSET if found.within else _nothing_fits(found.beyond, found.possible, present, asked),
        as_of=base.as_of,
        rate_card=base.rate_card,
        shop_data=base.shop_data,
    )


def _total(asked: Asked) -> int:
    return money.count(asked.start.base.total, asked.pricer.card.minor_digits)


def _standing(total: int, of: Measures, asked: Asked) -> dict[str, Any]:
    digits, quantity = asked.pricer.card.minor_digits, asked.pricer.order.quantity
    return {
        "total": money.text(total, digits),
        "unit_price": money.text(unit_price(total, quantity), digits),
        "positions": of.positions,
        "position_tolerance": f"{decimal_text(of.tolerance, 4)} mm",
        "stiffness": f"{decimal_text(of.stiffness / 1e6, 3)} kN m",
    }


def _alternative(found: Found, present: Measures, asked: Asked) -> Alternative:
    made = options(found.candidate.number, asked.variables)
    changed = [(one, option) for one, option in zip(asked.variables, made, strict=True) if option]
    to = Speaking(asked.start.shop, asked.start.in_inches)
    words = [Changed(one.title, to.said(one.present), to.said(one.others[option - 1])) for one, option in changed]
    difference = found.total - _total(asked)
    size = money.text(abs(difference), asked.pricer.card.minor_digits)
    saved = saving(difference, f"{size} {asked.pricer.card.currency}")
    return Alternative(
        **_standing(found.total, found.measures, asked),
        changes=tuple(Exchange(one.pointer, one.present, one.others[option - 1]) for one, option in changed),
        difference=f"-{size}" if difference < 0 else size,
        sentence=sentence(words, present, found.measures, saved, to),
    )


def _nothing_fits(cheapest: Found | None, possible: int, present: Measures, asked: Asked) -> NothingFits:
    digits, currency = asked.pricer.card.minor_digits, asked.pricer.card.currency
    nothing = f"Nothing fits {money.text(asked.budget, digits)} {currency}"
    if cheapest is None:
        return NothingFits(f"{nothing}: none of the combinations can be made.")
    alternative = _alternative(cheapest, present, asked)
    price = asked.start.price(applied(asked.start.request, {one.pointer: one.to for one in alternative.changes}))
    largest = sorted(asked.drivers(price), key=lambda driver: -driver[1])[:MOST_DRIVERS]
    parts = listed([f"{name} ({money.text(amount, digits)})" for name, amount in largest])
    return NothingFits(
        f"{nothing}: the cheapest of {possible:,} plates that can be made costs {alternative.total} {currency}; its "
        f"largest parts are {parts}.",
        alternative,
        tuple(Driver(name, money.text(amount, digits)) for name, amount in largest),
    )
