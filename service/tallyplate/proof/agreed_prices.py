"""Agreed prices: what is left of a price without their items keeps the laws, and each is on something.

With that the prices of the customers keep them too (`tallyplate.quote.adjusting`).
"""

from collections.abc import Iterator
from typing import Final

from tallyplate.proof.bench import Bench, priced
from tallyplate.proof.laws_of_orders import more_plates, times_as_many
from tallyplate.proof.laws_of_plates import larger_plates, marked_plates, plates_with_more_holes, tighter_plates
from tallyplate.rates.agreed import named, without
from tallyplate.rates.quoting import AgreedPrice

LAWS: Final = (more_plates, times_as_many, larger_plates, tighter_plates, marked_plates, plates_with_more_holes)
"""The laws by which a plate or an order that grows costs no less."""

MOST_NAMED: Final = 8


def unlawful_agreements(bench: Bench) -> Iterator[str]:
    """The counter-example to a law for each agreed price of a card without whose items the law is broken."""
    for agreed in _agreed(bench):
        left = Bench(bench.families, without(bench.modules, agreed), bench.card, bench.shop)
        if broken := next((broken for law in LAWS for broken in law(left)), None):
            yield f"without what the agreed price {agreed.title!r} is on, {broken}"


def agreements_on_nothing(bench: Bench) -> Iterator[str]:
    """Each agreed price that is on no line of any plate of the sample, with the items that are there."""
    for agreed in _agreed(bench):
        lines = [line for tried in bench.sample for line in priced(tried.work, tried.few).lines]
        items = sorted({line.of.item for line in lines if line.of.module == agreed.module})
        if not any(named(agreed, item) for item in items):
            there = ", ".join(items[:MOST_NAMED]) + ", ..." * (len(items) > MOST_NAMED)
            yield f"agreed price {agreed.title!r}, which is on none of the items of {agreed.module}: {there or 'none'}"


def _agreed(bench: Bench) -> Iterator[AgreedPrice]:
    """The agreed prices of all price lists, each module and item once."""
    lists = bench.card.quotes.price_lists.values() if bench.card.quotes else ()
    yield from {(one.module, one.item): one for price_list in lists for one in price_list.agreed.values()}.values()
