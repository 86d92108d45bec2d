"""Rush: a share on the time of an order that goes ahead of others.

Cost = cost of time x share (common practice, no source), which pays for work that waits meanwhile and for hours beyond
the shift. How much of each working day may go to such orders, and so how soon one is made, is in the limits of the shop
data.
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
    offered,
)

RUSH = "/services/rush"


class Rates(Struct, frozen=True, forbid_unknown_fields=True):
    """Share added to time."""

    on_labour: Share


def charges(
    build: Build,
    order: Order,
    shop: ShopData,
    rates: Rates | None,
    earlier: tuple[Line, ...],
) -> Iterable[Charge]:
    """Nothing, unless the order is in a hurry."""
    if order.services.rush:
        share, kept = offered(rates, RUSH).on_labour, offered(shop.limits.rush, RUSH)
        basis = f"of what time costs; up to {kept * 100:g} % of each working day is given to it"
        yield Charge("rush, ahead of the queue", 0, share, "", basis, labour(earlier))


MODULE = CostModule(
    contract=CONTRACT,
    stage=Stage.OVERHEAD,
    place=50,
    title="Rush",
    charges=charges,
    rates=Rates,
    reads_blank=False,
    optional=True,
)
