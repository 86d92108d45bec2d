"""Matching: plates of one order measured as a set, so that work may go from one to another.

Each plate is set up on a datum that all of them share, and its close-tolerance holes are measured from there, every one
of them: time in s = picking up the datum + holes x time each, a plate (common practice, no source).
"""

from collections.abc import Iterable

from msgspec import Struct

from tallyplate.contract import (
    CONTRACT,
    Bore,
    Build,
    Charge,
    CostModule,
    Line,
    Order,
    Seconds,
    ShopData,
    Stage,
    offered,
    work,
)

MATCHED = "/services/matched"


class Figures(Struct, frozen=True, forbid_unknown_fields=True):
    """Time to pick up the common datum on a plate, and to measure one hole from it."""

    datum: Seconds
    hole: Seconds


def charges(
    build: Build,
    order: Order,
    shop: ShopData,
    rates: None,
    earlier: tuple[Line, ...],
) -> Iterable[Charge]:
    """Nothing, unless the plates are to be matched."""
    if order.services.matched:
        own = offered(shop.stated(Figures), MATCHED)
        holes = sum(group.count for group in build.holes if not group.mounting and _close(group.hole.bores))
        yield work(
            "measuring from the common datum",
            own.datum + holes * own.hole,
            "inspection",
            f"{holes} close-tolerance holes a plate, each against those of the other plates",
        )


def _close(bores: tuple[Bore, ...]) -> bool:
    return any(bore.tolerance for bore in bores)


MODULE = CostModule(
    contract=CONTRACT,
    stage=Stage.MAKE,
    place=86,
    title="Matching",
    charges=charges,
    figures=Figures,
    work_centers=("inspection",),
    reads_blank=False,
    optional=True,
)
