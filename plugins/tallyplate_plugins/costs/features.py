"""Milled features: pockets, slots and cut-outs where the customer wants them, round corners and chamfered edges.

Roughing in s = volume in mm3 / removal rate; the rate of an end mill is Q = ap x ae x vf, with ap and ae its steps down
and over and vf = feed per tooth x teeth x spindle speed (published: Dijet, General Catalogue 2018, p. 551), and no more
than the material's own. A cut-out is milled out whole or by a groove around it, whichever is less. Walls = passes of
one step down each x way around / vf; corners = (4 - pi) x radius^2 x thickness for all four, and walls from both faces;
chamfers = passes x perimeter / feed, on both faces; tools settle, travel and are changed as in `holes`; programming =
kinds of feature x time each, once an order (common practice, no source).

Of the end mills that pass the width and reach the depth each job takes the quickest, so that a shallower or rounder
feature never takes longer.
"""

from collections.abc import Iterable
from math import ceil, inf, pi

from msgspec import Struct

from tallyplate.contract import (
    CONTRACT,
    Body,
    Build,
    Charge,
    CostModule,
    EndMill,
    Line,
    Milled,
    MillimetresPerSecond,
    Order,
    Percentage,
    Points,
    Seconds,
    ShopData,
    Size,
    Stage,
    counted,
    fitting_mills,
    offered,
    work,
)
from tallyplate_plugins.machining import spindle

POINTER = "/plate/features"
EDGES = "/plate/edge_chamfer"
FACES = 2
TOOLS = 2
"""One that roughs and one that finishes."""


class Figures(Struct, frozen=True, forbid_unknown_fields=True):
    """An end mill's steps as shares of its diameter, time to program a feature, and how edges are chamfered."""

    step_down: Percentage
    step_over: Percentage
    programming: Seconds
    chamfer_feed: MillimetresPerSecond
    chamfer_pass: Size
    """Width of chamfer that one pass makes."""

    def __post_init__(self) -> None:
        """A mill cuts no wider than it is, and never nothing."""
        if not 0 < self.step_over <= 1 or not min(self.step_down, self.chamfer_feed, self.chamfer_pass) > 0:
            message = "all must be above 0, and step_over at most 100 %"
            raise ValueError(message)


def table_feed(mill: EndMill, material: str, shop: ShopData) -> float:
    """Feed speed in mm/s: feed per tooth x teeth x spindle speed."""
    speed = shop.materials[material].speeds.milling
    return mill.feed_per_tooth * mill.teeth * spindle(speed, mill.diameter, shop.machine.spindle)


def roughing(milled: Milled, mill: EndMill, own: Figures, material: str, shop: ShopData) -> float:
    """Seconds to mill it out, or a groove around what falls out of the plate."""
    wide = milled.outline.area
    if milled.through:
        wide = min(wide, milled.outline.around * mill.diameter)
    by_mill = own.step_down * own.step_over * mill.diameter**2 * table_feed(mill, material, shop)
    return wide * milled.depth / min(by_mill, shop.materials[material].speeds.removal)


def finishing(milled: Milled, mill: EndMill, own: Figures, material: str, shop: ShopData) -> float:
    """Seconds to go around its walls, step by step down; the mill's own way is within that of the wall."""
    passes = ceil(milled.depth / (own.step_down * mill.diameter) - 1e-9)
    return passes * milled.outline.around / table_feed(mill, material, shop)


def charges(
    build: Build,
    order: Order,
    shop: ShopData,
    rates: None,
    earlier: tuple[Line, ...],
) -> Iterable[Charge]:
    """Nothing, unless something is milled; like features together."""
    if not build.milled and not build.body.corner and not build.body.chamfer:
        return
    own, material = offered(shop.stated(Figures), POINTER if build.milled else EDGES), build.body.material
    yield from _edges(build.body, own, shop)
    alike: dict[tuple[object, ...], list[Milled]] = {}
    for one in build.milled:
        alike.setdefault((one.kind, one.words, one.face, one.corner, one.outline.area), []).append(one)
    for same in alike.values():
        first, count = same[0], len(same)
        rough, finish = _quickest(first, own, material, shop)
        seconds = count * (rough + finish + TOOLS * shop.machine.settle)
        seconds += TOOLS * shop.machine.tool_change + _way(same) / shop.machine.traverse
        title = f"{count} {first.kind}s" if count > 1 else first.kind
        below = ", from below" if first.face == "bottom" else ""
        basis = f"{rough:.1f} s roughing and {finish:.1f} s finishing each"
        yield work(f"{title} {first.words}{below}", seconds, "mill", basis)
    if alike:
        once = len(alike) * own.programming
        yield work(
            "programming features", 0, "programming", f"once, {counted(len(alike), 'kind')} of feature", once=once
        )


def _edges(body: Body, own: Figures, shop: ShopData) -> Iterable[Charge]:
    """Round corners, milled from both faces to the middle, and chamfers along both faces."""
    if body.corner:
        volume = (4 - pi) * body.corner**2 * body.thickness
        removal = shop.materials[body.material].speeds.removal
        around = min(
            2 * ceil(body.thickness / 2 / (own.step_down * mill.diameter) - 1e-9) * 2 * pi * body.corner
            / table_feed(mill, body.material, shop)
            for mill in fitting_mills(shop.cutting.end_mills, inf, body.thickness / 2)
        )  # fmt: skip
        seconds = volume / removal + around + FACES * shop.machine.tool_change
        yield work(f"4 corners R{body.corner:g} mm", seconds, "mill", f"{volume / 1000:.1f} cm3 off")
    if body.chamfer:
        passes = ceil(body.chamfer / own.chamfer_pass - 1e-9)
        seconds = FACES * (passes * body.perimeter / own.chamfer_feed + shop.machine.tool_change)
        basis = f"{counted(passes, 'pass', 'passes')} around each face"
        yield work(f"chamfered edges {body.chamfer:g} mm", seconds, "mill", basis)


def _quickest(milled: Milled, own: Figures, material: str, shop: ShopData) -> tuple[float, float]:
    """Least seconds of roughing and of finishing."""
    mills = [*fitting_mills(shop.cutting.end_mills, milled.narrowest, milled.depth)]
    return (
        min(roughing(milled, mill, own, material, shop) for mill in mills),
        min(finishing(milled, mill, own, material, shop) for mill in mills),
    )


def _way(same: list[Milled]) -> float:
    """Rapid way in mm of both tools from one to the next."""
    return TOOLS * Points(tuple(one.outline.middle for one in same)).path


MODULE = CostModule(
    contract=CONTRACT,
    reads_blank=False,
    reads_order=False,
    stage=Stage.MAKE,
    place=45,
    title="Pockets, cut-outs and edges",
    charges=charges,
    figures=Figures,
    work_centers=("mill", "programming"),
    optional=True,
)
