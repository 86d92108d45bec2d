"""Inserts: hardened bushings and threaded inserts, by the piece with graduated price breaks, and fitting them.

Cost = sum over the steps reached of pieces x price; time = pieces x time each (common practice, no source).
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
        pieces = order.quantity * part.count
        title = f"{TITLES[part.kind]} {part.size}"
        yield from getattr(rates, part.kind)[part.size].charges(title, pieces, f"{part.count} a plate")
        each = getattr(own, part.kind)
        yield work(f"fitting {title}", pieces * each, "bench", f"{pieces} x {each:.0f} s")


def gaps(rates: Rates, shop: ShopData) -> Iterator[str]:
    """Screws whose bushing or threaded insert has no price."""
    for kind in TITLES:
        yield from (f"{kind}.{screw}" for screw in shop.screws if screw not in getattr(rates, kind))


MODULE = CostModule(
    contract=CONTRACT,
    stage=Stage.MAKE,
    place=40,
    charges=charges,
    rates=Rates,
    figures=Figures,
    work_centers=("bench",),
    reads_blank=False,
    gaps=gaps,
)
