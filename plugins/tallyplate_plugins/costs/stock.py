"""Stock: the blank by mass, and sawing it.

Cost = mass in kg x price a kg of the material and its form, with mass = gross volume x density x (1 + scrap). Scrap
covers kerf, offcut and what a foundry pours in vain, and earns no credit. Cut charge = two cuts x price, a blank: one
along each way frees it from its sheet. Sawing in s = sawn area in mm2 / what the saw cuts in a second, with sawn area =
two sides x the rolled one. A casting is not sawn (common practice, no source; densities published: each material's
source in the shop data).
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
    Percentage,
    PerKilogram,
    PerPiece,
    ShopData,
    SquareMillimetresPerSecond,
    Stage,
    work,
)

CUTS = 2
"""Saw cuts that free one blank from its sheet."""


class Rates(Struct, frozen=True, forbid_unknown_fields=True):
    """Metal by the kilogram, for each material and form, and a charge for each saw cut."""

    price: dict[str, dict[str, PerKilogram]]
    cut: PerPiece


class Figures(Struct, frozen=True, forbid_unknown_fields=True):
    """Share of a blank lost to kerf and offcut; sawn area in a time, by kind of material."""

    scrap: Percentage
    sawing: dict[str, SquareMillimetresPerSecond]


def charges(
    build: Build,
    order: Order,
    shop: ShopData,
    rates: Rates,
    earlier: tuple[Line, ...],
) -> Iterable[Charge]:
    """The blanks of the order by mass, their cuts, and the saw's time; nothing where the customer supplies them."""
    own, blank = shop.figures(Figures), build.blank
    if blank.supplied:
        return
    material = shop.materials[build.body.material]
    mass = blank.volume * material.density * (1 + own.scrap)
    size = f"{blank.length:.1f} x {blank.width:.1f} x {blank.thickness:.2f} mm"
    yield Charge(
        f"{material.title}, {blank.form}",
        mass,
        rates.price[build.body.material][blank.form],
        basis=f"{size}, {mass:.3f} kg a plate with scrap",
    )
    if blank.sawn:
        yield Charge("saw cuts", CUTS, rates.cut, basis=f"{CUTS} a blank")
        seconds = blank.sawn / own.sawing[material.group]
        yield work("sawing", seconds, "saw", f"{blank.sawn / 100:.0f} cm2 a blank")


def gaps(rates: Rates, shop: ShopData) -> Iterator[str]:
    """Materials and forms without a price, and kinds of material that the saw has no figure for."""
    for name, material in shop.materials.items():
        for form in material.forms:
            if form not in rates.price.get(name, {}):
                yield f"price.{name}.{form}"
        if material.group not in shop.figures(Figures).sawing:
            yield f"sawing.{material.group} (shop data)"


MODULE = CostModule(
    contract=CONTRACT,
    reads_order=False,
    stage=Stage.MAKE,
    place=10,
    title="Material",
    charges=charges,
    rates=Rates,
    figures=Figures,
    work_centers=("saw",),
    gaps=gaps,
)
