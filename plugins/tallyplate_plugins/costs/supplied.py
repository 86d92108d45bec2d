"""Supplied material: receiving, marking and storing a blank that the customer sends, and checking it before it is cut.

Handling = blanks x price; checking in s = blanks x time each (common practice, no source). The metal and its saw cuts
are then no matter of the stock's.
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
    PerPiece,
    Seconds,
    ShopData,
    Stage,
    offered,
    work,
)

SUPPLIED = "/plate/material_supplied"


class Rates(Struct, frozen=True, forbid_unknown_fields=True):
    """Receiving, marking and storing a blank."""

    handling: PerPiece


class Figures(Struct, frozen=True, forbid_unknown_fields=True):
    """Time to check size, straightness and kind of metal of a blank."""

    check: Seconds


def charges(
    build: Build,
    order: Order,
    shop: ShopData,
    rates: Rates | None,
    earlier: tuple[Line, ...],
) -> Iterable[Charge]:
    """Nothing, unless the customer supplies the blank."""
    if build.blank.supplied:
        own, price = offered(shop.stated(Figures), SUPPLIED), offered(rates, SUPPLIED).handling
        what = "plates that exist" if build.blank.existing else "supplied blanks"
        yield Charge(f"handling {what}", 1, price, basis="1 a plate, supplied by the customer")
        yield work(f"checking {what}", own.check, "inspection", "size, straightness and kind of metal")


MODULE = CostModule(
    contract=CONTRACT,
    reads_order=False,
    stage=Stage.MAKE,
    place=15,
    title="Handling of supplied material",
    charges=charges,
    rates=Rates,
    figures=Figures,
    work_centers=("inspection",),
    optional=True,
)
