"""Holes of the pattern: each kind's sequence, timed from cutting speed, feed and depth.

Each tool visits all of a kind's positions: time in s = count x (steps + tools x settling) + tools x (way over the
pattern / traverse + tool change), with the steps of `tallyplate_plugins.machining` (published: Groover, Fundamentals of
Modern Manufacturing, an exercise on a 10 x 10 grid of holes, worked in the tests; settling and tool changes: common
practice, no source).
"""

from collections.abc import Iterable

from tallyplate.contract import CONTRACT, Build, Charge, CostModule, HoleGroup, Line, Order, ShopData, Stage, work
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
            yield work(_title(group), seconds, "mill", basis)


def _title(group: HoleGroup) -> str:
    """The trade's word, and of holes that the customer placed also how many and how large."""
    if not group.placed:
        where = "" if group.face == "top" else f", {group.face}"
        zone = f", zone {group.zone}" if group.zone else ""
        return f"{group.kind} holes{where}{zone}"
    size = group.hole.thread.designation if group.hole.thread else f"\u00d8{group.hole.widest:g} mm"
    return f"{group.count} {group.word}s {size}" if group.count > 1 else f"{group.word} {size}"


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
