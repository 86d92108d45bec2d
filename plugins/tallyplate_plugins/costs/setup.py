"""Setup: programming and setting up once an order, and clamping each plate. Times are s.

Programming = base + kinds of hole x time each; setting up = clampings x time each; both are shared over the quantity.
Plates of several kinds in one order share the setting up, too: they follow each other on the same clamps and tools.
Loading = plates x clampings x time each, longer where a plate needs a hoist; indexing = turns x time each (common
practice, no source).
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
    Seconds,
    ShopData,
    Stage,
    counted,
    work,
)


class Figures(Struct, frozen=True, forbid_unknown_fields=True):
    """Times of programming, setting up and loading."""

    programming: Seconds
    programming_kind: Seconds
    clamping: Seconds
    loading: Seconds
    hoisting: Seconds
    """Added to loading for a plate heavier than one person may lift."""
    indexing: Seconds | None = None
    """To turn a clamped block to its next face; a shop that makes no blocks need not say."""


def charges(
    build: Build,
    order: Order,
    shop: ShopData,
    rates: None,
    earlier: tuple[Line, ...],
) -> Iterable[Charge]:
    """Programming and setting up of the order, and loading of each plate."""
    own, kinds = shop.figures(Figures), len(build.holes) + len(build.recesses)
    programming = own.programming + kinds * own.programming_kind
    yield work("programming", 0, "programming", f"once, {counted(kinds, 'kind')} of hole", once=programming)
    clamped = f"once, {counted(build.setups, 'clamping')}"
    yield work("setting up", 0, "mill", clamped, once=build.setups * own.clamping, common=True)
    mass = shop.mass(build.body)
    each = own.loading + (own.hoisting if mass > shop.limits.one_person_lift else 0.0)
    yield work("loading plates", build.setups * each, "mill", f"{build.setups} a plate of {mass:.1f} kg")
    if build.indexes:
        yield work("indexing", build.indexes * (own.indexing or 0.0), "mill", f"{build.indexes} turns a plate")


MODULE = CostModule(
    contract=CONTRACT,
    stage=Stage.MAKE,
    place=90,
    title="Programming and setting up",
    charges=charges,
    figures=Figures,
    work_centers=("programming", "mill"),
    reads_blank=False,
    reads_order=False,
)
