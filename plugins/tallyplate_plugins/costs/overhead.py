"""Overhead: shares on what was bought and on what time cost.

Cost = purchases x their share, and cost of time x its share (absorption costing; common practice, no source).
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
    labour,
    purchases,
)


class Rates(Struct, frozen=True, forbid_unknown_fields=True):
    """Shares added to purchases and to time."""

    on_purchases: Share
    on_labour: Share


def charges(
    build: Build,
    order: Order,
    shop: ShopData,
    rates: Rates,
    earlier: tuple[Line, ...],
) -> Iterable[Charge]:
    """One charge on purchases, one on time."""
    yield Charge("on material and parts", 0, rates.on_purchases, "", "of what is bought", purchases(earlier))
    yield Charge("on time", 0, rates.on_labour, "", "of what time costs", labour(earlier))


MODULE = CostModule(contract=CONTRACT, stage=Stage.OVERHEAD, charges=charges, rates=Rates, reads_blank=False)
