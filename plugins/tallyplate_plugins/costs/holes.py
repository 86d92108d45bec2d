"""Holes of the pattern: each kind's sequence, timed from cutting speed, feed and depth.

The sequence and the formulas stand in `tallyplate_plugins.machining`. Each tool visits all of a kind's positions, so
time = count x (steps + settling of each tool) + tools x (way over the pattern + tool change).
"""

from collections.abc import Iterable

from tallyplate.contract import CONTRACT, Build, Charge, CostModule, Line, Order, ShopData, Stage, work
from tallyplate_plugins.machining import group_seconds


def charges(
    build: Build,
    order: Order,
    shop: ShopData,
    rates: None,
    earlier: tuple[Line, ...],
) -> Iterable[Charge]:
    """One charge for each kind of hole that work is located by or clamped with."""
    for_position = build.position_tolerance < shop.cutting.bore_below
    for group in build.holes:
        if not group.mounting:
            seconds, basis = group_seconds(group, build.body.material, for_position, shop)
            where = "" if group.face == "top" else f", {group.face}"
            yield work(f"{group.kind} holes{where}", seconds, "mill", basis)


MODULE = CostModule(
    contract=CONTRACT,
    stage=Stage.MAKE,
    place=30,
    title="Hole pattern",
    charges=charges,
    work_centers=("mill",),
    reads_blank=False,
    reads_order=False,
)
