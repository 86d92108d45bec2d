"""Finishing: by area, with a minimum for the lot.

Cost = area in m2 x price, and at least a minimum for all plates of the order; area = outer surface + walls of every
hole, pocket, slot and cut-out (common practice, no source). Mouths are not taken off, so that one more never saves.
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
    PerSquareMetre,
    ShopData,
    Stage,
    Sum,
)


class Lot(Struct, frozen=True, forbid_unknown_fields=True):
    """What a finish costs by area, and the least that a lot costs."""

    area: PerSquareMetre
    minimum: Sum


class Rates(Struct, frozen=True, forbid_unknown_fields=True):
    """Every finish that costs anything; a finish that is not named here is the plate as machined."""

    finish: dict[str, Lot]
    as_machined: tuple[str, ...]


def charges(
    build: Build,
    order: Order,
    shop: ShopData,
    rates: Rates,
    earlier: tuple[Line, ...],
) -> Iterable[Charge]:
    """The finish of all plates of the order, as one lot."""
    if build.finish in rates.as_machined:
        return
    lot = rates.finish[build.finish]
    walls = sum(group.count * group.hole.wall_area for group in build.holes)
    walls += sum(one.walls for one in build.milled)
    area = build.body.surface + walls
    yield Charge(
        shop.finishes[build.finish].title,
        area / 1e6,
        lot.area,
        basis=f"{area / 1e6:.4f} m2 a plate with edges and hole walls",
        at_least=lot.minimum,
    )


def gaps(rates: Rates, shop: ShopData) -> Iterator[str]:
    """Finishes on offer without a price."""
    yield from (f"finish.{name}" for name in shop.finishes if name not in {*rates.finish, *rates.as_machined})


MODULE = CostModule(
    contract=CONTRACT,
    stage=Stage.MAKE,
    place=70,
    title="Surface finish",
    charges=charges,
    rates=Rates,
    reads_blank=False,
    reads_order=False,
    gaps=gaps,
)
