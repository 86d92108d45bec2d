"""Handling: handles screwed on, and lifting eyes sent with a plate.

Cost = pieces x price; time in s = handles x time to screw one on (common practice, no source). Their tapped holes are
charged as all holes are that are no part of the pattern.
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
    refuse,
    work,
)

TITLES = {"handle": "handles", "lifting_eye": "lifting eyes"}
ASKED = {"handle": "/plate/handles", "lifting_eye": "/plate/lifting_eyes"}
"""The field that asks for each kind of part."""


class Rates(Struct, frozen=True, forbid_unknown_fields=True):
    """Price of each kind of part by its screw."""

    handle: dict[str, PerPiece] = {}
    lifting_eye: dict[str, PerPiece] = {}


class Figures(Struct, frozen=True, forbid_unknown_fields=True):
    """Time to screw on a handle."""

    handle: Seconds


def charges(
    build: Build,
    order: Order,
    shop: ShopData,
    rates: Rates | None,
    earlier: tuple[Line, ...],
) -> Iterable[Charge]:
    """Nothing, unless a plate has handles or lifting eyes."""
    for part in build.accessories:
        prices = getattr(offered(rates, ASKED[part.kind]), part.kind)
        if part.size not in prices:
            known = ", ".join(sorted(prices)) or "leave them out"
            raise refuse(ASKED[part.kind], f"have no price for {part.size}; accepted: {known}")
        basis = f"{part.count} a plate"
        yield Charge(f"{TITLES[part.kind]} {part.size}", part.count, prices[part.size], basis=basis)
        if part.kind == "handle":
            own = offered(shop.stated(Figures), ASKED[part.kind])
            yield work("fitting handles", part.count * own.handle, "bench", basis)


MODULE = CostModule(
    contract=CONTRACT,
    reads_blank=False,
    reads_order=False,
    stage=Stage.MAKE,
    place=65,
    title="Handles and lifting eyes",
    charges=charges,
    rates=Rates,
    figures=Figures,
    work_centers=("bench",),
    optional=True,
)
