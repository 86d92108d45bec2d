"""From a pattern in a spec to groups of holes on a face, for any family with a rectangular field of holes."""

from typing import Final

from msgspec import UNSET, Struct, UnsetType

from tallyplate.contract.build import HoleGroup
from tallyplate.contract.holes import combination_hole, locating_hole, tapped_hole
from tallyplate.contract.refusals import refuse
from tallyplate.contract.shop import ShopData
from tallyplate.contract.spec import LatticeSpec, Pattern, Point, Usual
from tallyplate.lattice import Lattice, Taken, fitting, on_disc
from tallyplate.units import Length, decimal_text

WHY_MARGIN: Final = "one pitch from the edge, or half a side of a small plate"

MAX_HOLES: Final = 5_000_000
"""Most holes that one lattice may hold; more is refused before anything is made of it."""


class Field(Struct, frozen=True):
    """What a pattern fills, and the solid under it: its box in mm, the material by name, and whether it is a disc."""

    width: float
    height: float
    thickness: float
    material: str
    disc: bool = False


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

    def group(kind: str, layout: Lattice) -> HoleGroup:
        if kind == "tapped":
            hole = tapped_hole(designation, field.thickness, shop, insert=insert)
        elif kind == "combination":
            hole = combination_hole(designation, field.thickness, shop, bushed=bushed, insert=insert)
        else:
            hole = locating_hole(designation, field.thickness, shop, bushed=bushed)
        return HoleGroup(kind, hole, layout, face=face)

    if arrangement == "separate" and field.disc:
        message = "two lattices do not share the centre of a disc; accepted: alternating, combination"
        raise refuse(f"{pointer}/arrangement", message)
    if arrangement == "separate":
        groups = _separate(wanted, screw.usual_pitch, field, usual, pointer)
    else:
        for name in ("locating", "tapped"):
            if getattr(wanted, name) is not UNSET:
                message = "only a separate arrangement has a lattice of its own for each kind; accepted: leave it out"
                raise refuse(f"{pointer}/{name}", message)
        pitch = usual(f"{pointer}/pitch", wanted.pitch, screw.usual_pitch, "the usual pitch for this screw")
        margin = usual(f"{pointer}/margin", wanted.margin, _usual_margin(pitch, field), WHY_MARGIN)
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
    wanted: Pattern, usual_pitch: Length, field: Field, usual: Usual, pointer: str
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
        f"{pointer}/locating/margin", _either(first.margin, wanted.margin), _usual_margin(pitch, field), WHY_MARGIN
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


def _usual_margin(pitch: Length, field: Field) -> Length:
    """One pitch, or half the shorter side of a plate too small for that."""
    half = min(field.width, field.height) / 2
    return pitch if pitch <= half else Length(half, f"{decimal_text(half, 4)} mm")


def _either(first: Length | UnsetType, second: Length | UnsetType) -> Length | UnsetType:
    return second if isinstance(first, UnsetType) else first


def _halfway(start: float, pitch: Length) -> Length:
    return Length(start + pitch / 2, f"{decimal_text(start + pitch / 2, 4)} mm")


def usual_origin(pointer: str, given: Point | UnsetType, halfway: Point, usual: Usual) -> Point:
    """The origin given, or half a pitch in from the locating holes, each coordinate noted."""
    known = None if isinstance(given, UnsetType) else given
    why = "half a pitch from the locating holes"
    x = usual(f"{pointer}/x", known.x if known else UNSET, halfway.x, why)
    y = usual(f"{pointer}/y", known.y if known else UNSET, halfway.y, why)
    return Point(x, y)
