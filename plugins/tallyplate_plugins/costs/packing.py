"""Packing: wrapping by surface, crates by mass.

Wrapping = surface in m2 x price; crates = mass of the order in kg / load of a crate, rounded up, each at a price; time
in s = plates x time to pack one + crates x time to close one (common practice, no source). Crates are a whole lot, so
that a unit price may rise where one more plate needs one more.
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
    work,
)


class Rates(Struct, frozen=True, forbid_unknown_fields=True):
    """Wrapping by surface, and a crate."""

    wrap: PerSquareMetre
    crate: PerPiece


class Figures(Struct, frozen=True, forbid_unknown_fields=True):
    """What one crate carries, and time to pack a plate and to close a crate."""

    crate_load: Kilograms
    plate: Seconds
    crate: Seconds


def charges(
    build: Build,
    order: Order,
    shop: ShopData,
    rates: Rates,
    earlier: tuple[Line, ...],
) -> Iterable[Charge]:
    """Wrapping, crates, and the bench's time."""
    own = shop.figures(Figures)
    surface, mass = build.body.surface / 1e6, shop.mass(build.body)
    crate, basis = mass / own.crate_load, f"{mass:.1f} kg a plate, {own.crate_load:.0f} kg a crate"
    yield Charge("wrapping", surface, rates.wrap, basis=f"{surface:.4f} m2 a plate")
    yield Charge("crates", crate, rates.crate, basis=basis, lot=1)
    yield work("packing", own.plate, "bench")
    yield Charge("closing crates", crate, work_center="bench", basis=basis, lot=own.crate / 3600)


MODULE = CostModule(
    contract=CONTRACT,
    stage=Stage.MAKE,
    place=100,
    title="Packing",
    charges=charges,
    rates=Rates,
    figures=Figures,
    work_centers=("bench",),
    reads_blank=False,
    reads_order=False,
    whole_lots=True,
)
