"""Mounting: what holds and locates the plate on its machine, and the holes and seats made for it.

Holes are timed as every other; seats in s = volume in mm3 / removal rate + a tool change
(`tallyplate_plugins.machining`). Parts = pieces x price; fitting in s = pieces x time each (common practice, no
source).
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
    PerPiece,
    Seconds,
    ShopData,
    Stage,
    work,
)
from tallyplate_plugins.machining import group_seconds, recess_seconds

TITLES = {
    "holding_screw": "holding screws",
    "t_nut": "T-nuts",
    "round_pin": "round locating pins",
    "relieved_pin": "relieved locating pins",
    "retractable_pin": "retractable locating pins",
    "key": "slot keys",
    "joint_dowel": "joint dowels",
    "joint_key": "joint keys",
}

SOLD_AS = {"joint_dowel": "round_pin", "joint_key": "key"}
"""Parts of joints between plates, which are bought and fitted as those of the mounting are."""


class Rates(Struct, frozen=True, forbid_unknown_fields=True):
    """Price of each kind of part by screw size."""

    holding_screw: dict[str, PerPiece]
    t_nut: dict[str, PerPiece]
    round_pin: dict[str, PerPiece]
    relieved_pin: dict[str, PerPiece]
    retractable_pin: dict[str, PerPiece]
    key: dict[str, PerPiece]


class Figures(Struct, frozen=True, forbid_unknown_fields=True):
    """Time to fit each kind of part that is not merely packed with the plate."""

    fitting: dict[str, Seconds]


def charges(
    build: Build,
    order: Order,
    shop: ShopData,
    rates: Rates,
    earlier: tuple[Line, ...],
) -> Iterable[Charge]:
    """Holes, seats and parts of all plates of the order."""
    own, material = shop.figures(Figures), build.body.material
    for_position = build.position_tolerance < shop.cutting.bore_below
    for group in build.holes:
        if group.mounting:
            seconds, basis = group_seconds(group, material, for_position, shop)
            yield work(f"{group.kind} holes", seconds, "mill", basis)
    for recess in build.recesses:
        seconds = recess_seconds(recess, material, shop)
        yield work(f"{recess.kind.replace('_', ' ')}s", seconds, "mill", f"{recess.count} a plate")
    fitting = 0.0
    for part in build.hardware:
        title, sold_as = f"{TITLES[part.kind]} {part.size}", SOLD_AS.get(part.kind, part.kind)
        yield Charge(title, part.count, getattr(rates, sold_as)[part.size], basis=f"{part.count} a plate")
        fitting += part.count * own.fitting.get(sold_as, 0.0)
    if fitting:
        yield work("fitting locators", fitting, "bench", "pressed or screwed in and checked")


def gaps(rates: Rates, shop: ShopData) -> Iterator[str]:
    """Parts without a price, by screw size."""
    for kind in Rates.__struct_fields__:
        yield from (f"{kind}.{screw}" for screw in shop.screws if screw not in getattr(rates, kind))


MODULE = CostModule(
    contract=CONTRACT,
    stage=Stage.MAKE,
    place=60,
    title="Mounting and locating",
    charges=charges,
    rates=Rates,
    figures=Figures,
    work_centers=("mill", "bench"),
    reads_blank=False,
    reads_order=False,
    gaps=gaps,
)
