"""From a pattern in a spec to groups of holes on a face, for any family with a rectangular field of holes."""

from collections.abc import Iterable
from math import ceil, cos, radians, sin
from typing import Final

from msgspec import UNSET, Struct, UnsetType
from msgspec.structs import replace

from tallyplate.contract.build import Hole, HoleGroup
from tallyplate.contract.holes import blind_depth, combination_hole, locating_hole, tapped_hole
from tallyplate.contract.refusals import refuse
from tallyplate.contract.shop import ShopData
from tallyplate.contract.spec import LatticeSpec, Pattern, Point, Usual
from tallyplate.lattice import Lattice, Taken, fitting, on_disc
from tallyplate.units import Length, decimal_text

WHY_MARGIN: Final = "one pitch from the edge, or half a side of a small plate"

KINDS: Final = {
    "alternating": ("combination", "tapped"),
    "combination": ("combination",),
    "separate": ("locating", "tapped"),
}
"""The kinds of hole of each arrangement."""

MAX_HOLES: Final = 5_000_000
"""Most holes that one lattice may hold; more is refused before anything is made of it."""


class Field(Struct, frozen=True):
    """What a pattern fills, and the solid under it: its box in mm, the material by name, and whether it is a disc.

    A `blind` field is drilled no deeper than its holes need. One that meets others at its upright edges says
    at which angle in degrees (`corner`), so that its holes usually stand clear of those of its neighbours.
    """

    width: float
    height: float
    thickness: float
    material: str
    disc: bool = False
    blind: bool = False
    corner: float = 0.0


def why_margin(field: Field) -> str:
    """Why the usual margin is what it is."""
    return "clear of the holes of the next face" if field.corner else WHY_MARGIN


def lattice(
    pitch: Length, margin: float, origin: Point | UnsetType, field: Field, pointer: str, taken: Taken = Taken.ALL
) -> Lattice:
    """The lattice of a pitch in a field: from the lower left margin, or from a given origin, to the far margins.

    On a disc the lattice is laid about the centre, as far as the margin lets it. Refuses a field with no room for a
    hole, and more than `MAX_HOLES`.
    """
    if field.disc:
        return _disc_lattice(pitch, margin, origin, field, pointer)
    x, y = (margin, margin) if isinstance(origin, UnsetType) else (float(origin.x), float(origin.y))
    columns, rows = fitting(field.width - margin - x, pitch), fitting(field.height - margin - y, pitch)
    if (columns < 1 or rows < 1) and not isinstance(origin, UnsetType):
        message = (
            f"no hole fits between the origin {origin.x.text}, {origin.y.text} and the far margins of "
            f"{decimal_text(margin, 3)} mm; accepted: an origin within {decimal_text(field.width - margin, 3)} mm, "
            f"{decimal_text(field.height - margin, 3)} mm"
        )
        raise refuse(f"{pointer}/origin", message)
    if columns < 1 or rows < 1:
        room = decimal_text(min(field.width, field.height) / 2, 3)
        message = f"no hole fits: the margin {decimal_text(margin, 3)} mm leaves no room; accepted: up to {room} mm"
        raise refuse(f"{pointer}/margin", message)
    if columns * rows > MAX_HOLES:
        message = f"{pitch.text!r} makes {columns * rows} holes; accepted: a pitch that makes at most {MAX_HOLES}"
        raise refuse(f"{pointer}/pitch", message)
    return Lattice(x, y, float(pitch), float(pitch), columns, rows, taken)


def _disc_lattice(pitch: Length, margin: float, origin: Point | UnsetType, field: Field, pointer: str) -> Lattice:
    if not isinstance(origin, UnsetType):
        raise refuse(f"{pointer}/origin", "the lattice of a disc is laid about its centre; accepted: leave it out")
    if margin > field.width / 2:
        room = decimal_text(field.width / 2, 3)
        message = f"no hole fits: the margin {decimal_text(margin, 3)} mm leaves no room; accepted: up to {room} mm"
        raise refuse(f"{pointer}/margin", message)
    about = (field.width / pitch + 1) ** 2
    if about > MAX_HOLES:
        message = f"{pitch.text!r} makes about {about:.0f} holes; accepted: a pitch that makes at most {MAX_HOLES}"
        raise refuse(f"{pointer}/pitch", message)
    return on_disc(float(pitch), field.width, margin)


def pattern(
    spec: Pattern | UnsetType, field: Field, shop: ShopData, usual: Usual, *, pointer: str, face: str = "top"
) -> tuple[HoleGroup, ...]:
    """The groups of holes of a pattern."""
    wanted = Pattern() if isinstance(spec, UnsetType) else spec
    designation = usual(f"{pointer}/screw", wanted.screw, shop.usual.screw, "the shop's usual clamping screw")
    screw = shop.screw(designation, f"{pointer}/screw")
    arrangement = usual(f"{pointer}/arrangement", wanted.arrangement, shop.usual.arrangement, "the usual arrangement")
    material = shop.materials[field.material]
    bushed = usual(
        f"{pointer}/bushings",
        wanted.bushings,
        material.bushed,
        "soft metal gets hardened bushings; hard metal, and plastic for light duty, is bored directly",
    )
    insert = usual(f"{pointer}/thread_inserts", wanted.thread_inserts, False, "threads are cut in the plate itself")

    def hole_of(kind: str) -> Hole:
        deep = min(field.thickness, blind_depth(kind, designation, shop)) if field.blind else field.thickness
        if kind == "tapped":
            hole = tapped_hole(designation, deep, shop, insert=insert)
        elif kind == "combination":
            hole = combination_hole(designation, deep, shop, bushed=bushed, insert=insert)
        else:
            hole = locating_hole(designation, deep, shop, bushed=bushed)
        return replace(hole, through=False) if field.blind else hole

    def group(kind: str, layout: Lattice) -> HoleGroup:
        return HoleGroup(kind, hole_of(kind), layout, face=face, asked=pointer)

    reach = _reach(map(hole_of, KINDS[arrangement]), field.corner, shop) if field.corner else 0.0
    if arrangement == "separate" and field.disc:
        message = "two lattices do not share the centre of a disc; accepted: alternating, combination"
        raise refuse(f"{pointer}/arrangement", message)
    if arrangement == "separate":
        groups = _separate(wanted, screw.usual_pitch, field, reach, usual, pointer)
    else:
        for name in ("locating", "tapped"):
            if getattr(wanted, name) is not UNSET:
                message = "only a separate arrangement has a lattice of its own for each kind; accepted: leave it out"
                raise refuse(f"{pointer}/{name}", message)
        pitch = usual(f"{pointer}/pitch", wanted.pitch, screw.usual_pitch, "the usual pitch for this screw")
        margin = usual(f"{pointer}/margin", wanted.margin, _usual_margin(pitch, field, reach), why_margin(field))
        every = lattice(pitch, margin, wanted.origin, field, pointer)
        if arrangement == "combination":
            groups = [("combination", every)]
        else:
            groups = [
                ("combination", _taking(every, Taken.EVEN)),
                ("tapped", _taking(every, Taken.ODD)),
            ]
    return tuple(group(kind, layout) for kind, layout in groups if layout.count)


def _taking(every: Lattice, taken: Taken) -> Lattice:
    return Lattice(every.x, every.y, every.pitch_x, every.pitch_y, every.columns, every.rows, taken, (), every.spans)


def _separate(
    wanted: Pattern, usual_pitch: Length, field: Field, reach: float, usual: Usual, pointer: str
) -> list[tuple[str, Lattice]]:
    """Two lattices: the tapped one usually as wide as the locating one and half a pitch up and across from it."""
    for name in ("pitch", "origin"):
        if getattr(wanted, name) is not UNSET:
            message = "a separate arrangement states it in each lattice; accepted: locating and tapped"
            raise refuse(f"{pointer}/{name}", message)
    first = LatticeSpec(usual_pitch) if isinstance(wanted.locating, UnsetType) else wanted.locating
    pitch = usual(
        f"{pointer}/locating/pitch",
        UNSET if isinstance(wanted.locating, UnsetType) else wanted.locating.pitch,
        usual_pitch,
        "the usual pitch for this screw",
    )
    margin = usual(
        f"{pointer}/locating/margin",
        _either(first.margin, wanted.margin),
        _usual_margin(pitch, field, reach),
        why_margin(field),
    )
    locating = lattice(pitch, margin, first.origin, field, f"{pointer}/locating")
    second = LatticeSpec(pitch) if isinstance(wanted.tapped, UnsetType) else wanted.tapped
    tapped_pitch = usual(
        f"{pointer}/tapped/pitch",
        UNSET if isinstance(wanted.tapped, UnsetType) else wanted.tapped.pitch,
        pitch,
        "the same as the locating holes",
    )
    tapped_margin = usual(f"{pointer}/tapped/margin", _either(second.margin, wanted.margin), margin, "the same margin")
    between = Point(*(_halfway(start, pitch) for start in (locating.x, locating.y)))
    origin = usual_origin(f"{pointer}/tapped/origin", second.origin, between, usual)
    tapped = lattice(tapped_pitch, tapped_margin, origin, field, f"{pointer}/tapped")
    return [("locating", locating), ("tapped", tapped)]


def _usual_margin(pitch: Length, field: Field, reach: float) -> Length:
    """One pitch, and no less than `reach`; or half the shorter side of a field too small for that."""
    half = min(field.width, field.height) / 2
    return pitch if reach <= pitch <= half else _mm(min(half, max(pitch, reach)))


def _reach(holes: Iterable[Hole], corner: float, shop: ShopData) -> float:
    """How far from a corner in mm a hole clears those of the next face, which are as deep.

    At a square or wider corner, that is as far as they are deep; in a sharper one each leans into the other.
    """
    each = [(hole.bores[0].depth, hole.widest) for hole in holes]
    deep, wide = max(depth for depth, _ in each), max(widest for _, widest in each)
    leaning = radians(min(corner, 90))
    return ceil((deep * (1 + cos(leaning)) + wide / 2 + shop.walls.between_holes) / sin(leaning))


def _either(first: Length | UnsetType, second: Length | UnsetType) -> Length | UnsetType:
    return second if isinstance(first, UnsetType) else first


def _halfway(start: float, pitch: Length) -> Length:
    return _mm(start + pitch / 2)


def _mm(size: float) -> Length:
    return Length(size, f"{decimal_text(size, 4)} mm")


def usual_origin(pointer: str, given: Point | UnsetType, halfway: Point, usual: Usual) -> Point:
    """The origin given, or half a pitch in from the locating holes, each coordinate noted."""
    known = None if isinstance(given, UnsetType) else given
    why = "half a pitch from the locating holes"
    x = usual(f"{pointer}/x", known.x if known else UNSET, halfway.x, why)
    y = usual(f"{pointer}/y", known.y if known else UNSET, halfway.y, why)
    return Point(x, y)
