"""Export packing: what it takes to send an order across borders, on top of how every order is packed.

Crates = mass of the order in kg / load of a crate, rounded up; each has a price, and takes time to line and mark. Film
against damp at sea = surface in m2 x price, and takes time a plate to seal (common practice, no source). Timber is
heat-treated, 56 deg C at its core for 30 minutes, and marked (published: FAO, ISPM 15, Regulation of wood packaging
material in international trade, as told at mainfreight.com.sg/regulation-for-wooden-packaging).
"""

from collections.abc import Iterable

from msgspec import Struct

from tallyplate.contract import (
    CONTRACT,
    Build,
    Charge,
    CostModule,
    Kilograms,
    Line,
    Order,
    PerPiece,
    PerSquareMetre,
    Seconds,
    ShopData,
    Stage,
    offered,
    work,
)

PACKING = "/services/packing"


class Rates(Struct, frozen=True, forbid_unknown_fields=True):
    """What a crate of treated timber costs more than a plain one, and the film by surface."""

    crate: PerPiece
    film: PerSquareMetre


class Figures(Struct, frozen=True, forbid_unknown_fields=True):
    """What one crate carries, and time to seal a plate into its film and to line and mark a crate."""

    crate_load: Kilograms
    plate: Seconds
    crate: Seconds


def charges(
    build: Build,
    order: Order,
    shop: ShopData,
    rates: Rates | None,
    earlier: tuple[Line, ...],
) -> Iterable[Charge]:
    """Nothing, unless the order is packed for export."""
    if order.services.packing == "export":
        prices, own = offered(rates, PACKING), offered(shop.stated(Figures), PACKING)
        surface, mass = build.body.surface / 1e6, shop.mass(build.body)
        crate, basis = mass / own.crate_load, f"{mass:.1f} kg a plate, {own.crate_load:.0f} kg a crate"
        yield Charge("crates of heat-treated timber, marked (ISPM 15)", crate, prices.crate, basis=basis, lot=1)
        yield Charge("barrier film", surface, prices.film, basis=f"{surface:.4f} m2 a plate")
        yield work("sealing plates in film", own.plate, "bench")
        yield Charge("lining crates", crate, work_center="bench", basis=basis, lot=own.crate / 3600)


MODULE = CostModule(
    contract=CONTRACT,
    stage=Stage.MAKE,
    place=105,
    title="Export packing",
    charges=charges,
    rates=Rates,
    figures=Figures,
    work_centers=("bench",),
    reads_blank=False,
    whole_lots=True,
    optional=True,
)
