"""Spares: bushings, plugs and screws sent beside the plates, and plugs for every hole of the pattern.

Cost = sum over the steps reached of pieces x price; bagging in s = kinds and sizes of spares x time to count and bag
one, once an order; plugs of a lid in s = holes of the pattern x time to press one in (common practice, no source).
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
    offered,
    one_of,
    plugs,
    work,
)

PLUGS = "/services/plugs"
SPARES = "/services/spares"
TITLES = {"bushings": "bushings", "plugs": "hole plugs", "screws": "clamping screws"}


class Rates(Struct, frozen=True, forbid_unknown_fields=True):
    """Price breaks by kind and screw."""

    bushings: dict[str, PriceBreaks]
    plugs: dict[str, PriceBreaks]
    screws: dict[str, PriceBreaks]


class Figures(Struct, frozen=True, forbid_unknown_fields=True):
    """Time to count and bag the spares of one kind and size, and to press in one plug."""

    bag: Seconds
    plug: Seconds


def charges(
    build: Build,
    order: Order,
    shop: ShopData,
    rates: Rates | None,
    earlier: tuple[Line, ...],
) -> Iterable[Charge]:
    """Nothing, unless the order asks for spares or plugs."""
    asked = order.services
    if asked.plugs == "every_hole":
        each, prices = offered(shop.stated(Figures), PLUGS).plug, offered(rates, PLUGS).plugs
        for part in plugs(build, shop):
            yield Charge(f"hole plugs {part.size}", part.count, prices[part.size], basis=f"{part.count} a plate")
            seconds = part.count * each
            yield work(f"fitting hole plugs {part.size}", seconds, "bench", f"{part.count} a plate, {each:.0f} s each")
    for kind, sizes in asked.spares.by_kind():
        bag, listed = offered(shop.stated(Figures), SPARES).bag, getattr(offered(rates, SPARES), kind)
        for size, count in sorted(sizes.items()):
            if size not in listed:
                raise one_of(f"{SPARES}/{kind}", size, listed)
            title = f"spare {TITLES[kind]} {size}"
            yield Charge(title, 0, listed[size], basis="once an order", per_order=count, common=True)
            yield work(f"bagging {title}", 0, "bench", "once an order", once=bag, common=True)


def gaps(rates: Rates, shop: ShopData) -> Iterator[str]:
    """Screws whose bushing, plug or screw has no price."""
    for kind in TITLES:
        yield from (f"{kind}.{screw}" for screw in shop.screws if screw not in getattr(rates, kind))


MODULE = CostModule(
    contract=CONTRACT,
    stage=Stage.MAKE,
    place=75,
    title="Spare parts and hole plugs",
    charges=charges,
    rates=Rates,
    figures=Figures,
    work_centers=("bench",),
    reads_blank=False,
    optional=True,
    gaps=gaps,
)
