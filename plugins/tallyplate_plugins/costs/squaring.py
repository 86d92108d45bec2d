"""Squaring: faces and edges milled true, and ground where flatness or position asks for it. Lengths are mm, times s.

Roughing = volume off / removal rate of the material; grinding = area of all flat faces x stock / removal rate of the
grinder; a rate is width x depth x feed of a cut (published: Dijet, General Catalogue 2018, p. 551, for milling; a
worked example, scribd.com/doc/6463004, for grinding).

Finishing a face = strips x (length + cutter) / vf along whichever side is quicker, with table feed vf = feed per tooth
x teeth x spindle speed (published: Mitsubishi Materials, face milling; El-Hofy, Fundamentals of Machining Processes,
2nd ed., p. 189). Strips = width / (cutter x (1 - overlap)), rounded up; edges = passes x perimeter / vf, with passes =
height / depth of one, rounded up (common practice, no source).
"""

from collections.abc import Iterable
from math import ceil

from msgspec import Struct

from tallyplate.contract import (
    CONTRACT,
    Build,
    Charge,
    CostModule,
    CubicMillimetresPerSecond,
    Length,
    Line,
    Millimetres,
    Order,
    Percentage,
    ShopData,
    Size,
    Stage,
    counted,
    smaller,
    work,
)
from tallyplate_plugins.machining import spindle


class Figures(Struct, frozen=True, forbid_unknown_fields=True):
    """The face mill, the depth of one pass around the edge, and when and how faces are ground."""

    cutter: Size
    teeth: int
    feed_per_tooth: Size
    overlap: Percentage
    edge_depth: Size
    grind_below_flatness: Length
    grind_below_position: Length
    grinding_stock: Millimetres
    grinding: CubicMillimetresPerSecond

    def __post_init__(self) -> None:
        """A cutter without teeth, or one whose passes lie wholly on each other, gets nowhere."""
        if self.teeth < 1 or self.overlap >= 1:
            message = "teeth must be at least 1 and overlap below 100 %"
            raise ValueError(message)


def face_pass(length: float, width: float, cutter: float, overlap: float, feed_speed: float) -> float:
    """Seconds to mill a face once over, along whichever side is quicker; feed speed in mm/s."""

    def along(run: float, across: float) -> float:
        strips = ceil(across / (cutter * (1 - overlap)) - 1e-9)
        return strips * (run + cutter) / feed_speed

    return smaller(along(length, width), along(width, length))


def charges(
    build: Build,
    order: Order,
    shop: ShopData,
    rates: None,
    earlier: tuple[Line, ...],
) -> Iterable[Charge]:
    """Faces, edges, and grinding of all plates of the order; nothing of plates that exist."""
    own, body, blank = shop.figures(Figures), build.body, build.blank
    if blank.existing:
        return
    speeds = shop.materials[body.material].speeds
    feed_speed = own.feed_per_tooth * own.teeth * spindle(speeds.milling, own.cutter, shop.machine.spindle)

    off_edges = (blank.length * blank.width - body.plan_area) * body.edge
    off_faces = blank.volume - body.volume - off_edges
    finished = sum(face_pass(*face, own.cutter, own.overlap, feed_speed) for face in body.milled)
    faces = off_faces / speeds.removal + finished
    number = len(body.milled) if body.faces else "two"
    yield work("milling faces", faces, "mill", f"{off_faces / 1000:.0f} cm3 off, {number} faces finished")

    passes = ceil(body.edge / own.edge_depth - 1e-9)
    edges = off_edges / speeds.removal + passes * body.perimeter / feed_speed
    yield work(
        "milling edges", edges, "mill", f"{off_edges / 1000:.0f} cm3 off, {counted(passes, 'pass', 'passes')} around"
    )

    if build.flatness < own.grind_below_flatness or build.position_tolerance < own.grind_below_position:
        ground = body.milled_area * own.grinding_stock
        yield work(
            "grinding faces",
            ground / own.grinding,
            "grinder",
            f"{ground / 1000:.0f} cm3 off {number} faces",
        )


MODULE = CostModule(
    contract=CONTRACT,
    reads_order=False,
    stage=Stage.MAKE,
    place=20,
    title="Milling to size",
    charges=charges,
    figures=Figures,
    work_centers=("mill", "grinder"),
)
