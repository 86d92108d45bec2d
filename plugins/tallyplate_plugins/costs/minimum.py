"""Minimum order: the least that an order is worth taking for.

Cost = minimum - sum of all that came before, where that falls short of it (common practice, no source).
"""

from collections.abc import Iterable

from msgspec import Struct

from tallyplate.contract import (
    CONTRACT,
    Build,
    Charge,
    CostModule,
    Line,
    Order,
    Share,
    ShopData,
    Stage,
    Sum,
    subtotal,
)

WHOLE = Share(1, 0)


class Rates(Struct, frozen=True, forbid_unknown_fields=True):
    """The least that an order comes to."""

    order: Sum


def charges(
    build: Build,
    order: Order,
    shop: ShopData,
    rates: Rates,
    earlier: tuple[Line, ...],
) -> Iterable[Charge]:
    """Nothing, or what is missing."""
    missing = rates.order.minor - subtotal(earlier)
    if missing > 0:
        yield Charge("up to the minimum order", 0, WHOLE, "", "small orders", missing)


MODULE = CostModule(contract=CONTRACT, stage=Stage.ORDER, charges=charges, rates=Rates, reads_blank=False)
