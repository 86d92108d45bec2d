"""What another rate card does to many orders, those that are alike together (`tallyplate.many`)."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from decimal import Decimal
from functools import partial
from itertools import islice
from typing import Final

import numpy as np
from msgspec import Struct

from tallyplate.columns.column import Values
from tallyplate.installation import Installation
from tallyplate.many import Requests, tabled, together
from tallyplate.orders import Entry
from tallyplate.rates.card import RateCard
from tallyplate.tradeoffs.comparison import Comparison, ModuleDifference, percent
from tallyplate.tradeoffs.impact import OrderImpact, OrderRefused, Summed, compared

AT_ONCE: Final = 8192
"""Orders that are held at once."""


class Side(Struct, frozen=True):
    """What each of many orders costs under one card, in minor units, and by module; where that is `known`."""

    known: Values
    total: Values
    by_module: dict[str, Values]


def compared_together(
    orders: Iterable[Entry], installation: Installation, a: RateCard, b: RateCard, today: date
) -> Iterator[OrderImpact | OrderRefused]:
    """Every order under both cards, in order; where it was priced together with others, summed by module."""
    waiting = iter(orders)
    alone = [partial(installation.price_under, card=card, today=today) for card in (a, b)]
    while chunk := list(islice(waiting, AT_ONCE)):
        readable = [entry for entry in chunk if not entry.faults]
        requests = tabled([entry.request for entry in readable])
        sides = [_side(requests, installation, card, today) for card in (a, b)]
        places = {entry.line: place for place, entry in enumerate(readable)}
        for entry in chunk:
            place = places.get(entry.line)
            if place is None or not all(side.known[place] for side in sides):
                yield from compared([entry], *alone)
            else:
                yield Summed(entry.line, _comparison(sides, place, a), entry.request)


def _side(requests: Requests, installation: Installation, card: RateCard, today: date) -> Side:
    found, _ = together(requests, installation, partial(installation.asked_under, card=card, today=today))
    side = Side(np.zeros(requests.count, bool), np.zeros(requests.count, np.int64), {})
    for totals in found:
        side.known[totals.places] = True
        side.total[totals.places] = totals.totals
        for module, amounts in totals.by_module.items():
            into = side.by_module.setdefault(module, np.zeros(requests.count, np.int64))
            into[totals.places] = amounts
    return side


def _comparison(sides: Sequence[Side], place: int, card: RateCard) -> Comparison:
    a, b = (int(side.total[place]) for side in sides)
    modules = dict.fromkeys(name for side in sides for name in side.by_module)
    amounts = {
        name: [int(side.by_module[name][place]) if name in side.by_module else 0 for side in sides] for name in modules
    }
    of_modules = (ModuleDifference(name, *_moved(old, new, card)) for name, (old, new) in amounts.items() if old or new)
    return Comparison(card.currency, *_moved(a, b, card), tuple(of_modules), ())


def _moved(a: int, b: int, card: RateCard) -> tuple[str, str, str, str]:
    """Two amounts in minor units, their difference, and that in percent of the first."""
    old, new = (Decimal(amount).scaleb(-card.minor_digits) for amount in (a, b))
    return str(old), str(new), str(new - old), percent(old, new)
