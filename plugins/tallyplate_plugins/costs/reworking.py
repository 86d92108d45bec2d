"""Rework: a plate that exists is set up by its own holes, and its worn bushings make way for new ones.

Picking up in s = clampings x time each, a plate, since no two lie alike; making way in s = bushings x (time to press
one out at the bench + time to ream its seat at the mill) (common practice, no source). New bushings and pressing them
in are charged as all others are.
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
    offered,
    work,
)


class Figures(Struct, frozen=True, forbid_unknown_fields=True):
    """Time to find a plate's place by its holes, to press out a bushing, and to ream its seat."""

    pick_up: Seconds
    press_out: Seconds
    ream: Seconds


def charges(
    build: Build,
    order: Order,
    shop: ShopData,
    rates: None,
    earlier: tuple[Line, ...],
) -> Iterable[Charge]:
    """Nothing, unless the plate exists."""
    if not build.blank.existing:
        return
    own = offered(shop.stated(Figures), "/plate/family")
    yield work(
        "picking up the old holes", build.setups * own.pick_up, "mill", f"{counted(build.setups, 'clamping')} a plate"
    )
    for part in build.replaced:
        basis = f"{part.count} a plate"
        yield work(f"pressing out bushings {part.size}", part.count * own.press_out, "bench", basis)
        yield work(f"reaming seats of bushings {part.size}", part.count * own.ream, "mill", basis)


MODULE = CostModule(
    contract=CONTRACT,
    reads_order=False,
    stage=Stage.MAKE,
    place=25,
    title="Rework",
    charges=charges,
    figures=Figures,
    work_centers=("mill", "bench"),
    optional=True,
)
