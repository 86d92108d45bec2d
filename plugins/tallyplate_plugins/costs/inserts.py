"""Inserts: hardened bushings and threaded inserts, by the piece with graduated price breaks, and fitting them.

Cost = sum over the steps reached of pieces x price; time in s = pieces x time each (common practice, no source).
"""

from collections.abc import Iterable, Iterator

from msgspec import Struct

from tallyplate.contract import (
    CONTRACT,
    Build,
    Charge,
    CostModule,
    Line,
    Order,
    PriceBreaks,
    Seconds,
    ShopData,
    Stage,
    work,
)

TITLES = {"bushing": "bushings", "thread_insert": "threaded inserts"}


class Rates(Struct, frozen=True, forbid_unknown_fields=True):
    """Price breaks by kind and screw."""

    bushing: dict[str, PriceBreaks]
    thread_insert: dict[str, PriceBreaks]


class Figures(Struct, frozen=True, forbid_unknown_fields=True):
    """Time to press one bushing, and to wind in one threaded insert."""

    bushing: Seconds
    thread_insert: Seconds


def charges(
    build: Build,
    order: Order,
    shop: ShopData,
    rates: Rates,
    earlier: tuple[Line, ...],
) -> Iterable[Charge]:
    """The parts of all plates of the order, and the bench's time to fit them."""
    own = shop.figures(Figures)
    for part in build.fitted():
        title, each = f"{TITLES[part.kind]} {part.size}", getattr(own, part.kind)
        yield Charge(title, part.count, getattr(rates, part.kind)[part.size], basis=f"{part.count} a plate")
        yield work(f"fitting {title}", part.count * each, "bench", f"{part.count} a plate, {each:.0f} s each")


def gaps(rates: Rates, shop: ShopData) -> Iterator[str]:
    """Screws whose bushing or threaded insert has no price."""
    for kind in TITLES:
        yield from (f"{kind}.{screw}" for screw in shop.screws if screw not in getattr(rates, kind))


MODULE = CostModule(
    contract=CONTRACT,
    stage=Stage.MAKE,
    place=40,
    title="Bushings and threaded inserts",
    charges=charges,
    rates=Rates,
    figures=Figures,
    work_centers=("bench",),
    reads_blank=False,
    reads_order=False,
    gaps=gaps,
)
