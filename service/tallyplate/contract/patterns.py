"""From a pattern in a spec to groups of holes on a face, for any family with a rectangular field of holes."""

from collections.abc import Iterable
from math import ceil, cos, radians, sin
from typing import Final, TypeVar

from msgspec import UNSET, Struct, UnsetType
from msgspec.structs import replace

from tallyplate.columns.parting import smaller
from tallyplate.contract.build import Hole, HoleGroup
from tallyplate.contract.holes import blind_depth, combination_hole, locating_hole, tapped_hole
from tallyplate.contract.laying import Field, Laying, lattice, left_over, without_left_out
from tallyplate.contract.meaningless import refuse_meaningless
from tallyplate.contract.refusals import refuse
from tallyplate.contract.shop import ShopData
from tallyplate.contract.spec import LaidFrom, LatticeSpec, Pattern, Point, Usual
from tallyplate.lattice import Lattice, Taken
from tallyplate.units import Length, decimal_text

Other = TypeVar("Other", Length, Length | UnsetType)

WHY_MARGIN: Final = "one pitch from the edge, or half a side of a small plate"

KINDS: Final = {
    "alternating": ("combination", "tapped"),
    "combination": ("combination",),
    "separate": ("locating", "tapped"),
}
"""The kinds of hole of each arrangement."""

SPOKEN_OF: Final = 1.0
"""Millimetres left over at the far edges from which it is told where they lie."""


class Asked(Struct, frozen=True):
    """A pattern as it is asked for, where and of what it is laid, and who knows and notes the usual answers.

    `reach` is how far in mm its holes keep from an upright edge for the sake of the next face.
    """

    wanted: Pattern
    field: Field
    usual_pitch: Length
    reach: float
    shop: ShopData
    usual: Usual
    pointer: str


def why_margin(field: Field) -> str:
    """Why the usual margin is what it is."""
    return "clear of the holes of the next face" if field.corner else WHY_MARGIN


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
    refuse_meaningless(wanted, arrangement, field, pointer)
    asked = Asked(wanted, field, screw.usual_pitch, reach, shop, usual, pointer)
    groups = _separate(asked) if arrangement == "separate" else _on_one(asked, arrangement)
    return tuple(group(kind, layout) for kind, layout in groups if layout.count)


def _on_one(asked: Asked, arrangement: str) -> list[tuple[str, Lattice]]:
    """One lattice, which combination and tapped holes take in turns, or combination holes alone."""
    wanted, field, usual, pointer = asked.wanted, asked.field, asked.usual, asked.pointer
    pitch = usual(f"{pointer}/pitch", wanted.pitch, asked.usual_pitch, "the usual pitch for this screw")
    narrower = min(pitch, _either(wanted.pitch_across, pitch))
    margin = usual(f"{pointer}/margin", wanted.margin, _usual_margin(narrower, field, asked.reach), why_margin(field))
    beginning = _laid_from(asked, LatticeSpec(pitch, margin, wanted.origin, wanted.pitch_across), pointer)
    laying = Laying(wanted.pitch_across, beginning, wanted.staggered is True)
    every = lattice(pitch, margin, wanted.origin, field, pointer, laying=laying)
    every = without_left_out(every, wanted, pointer)
    if arrangement == "combination":
        return [("combination", every)]
    return [("combination", _taking(every, Taken.EVEN)), ("tapped", _taking(every, Taken.ODD))]


def _laid_from(asked: Asked, of: LatticeSpec, pointer: str) -> LaidFrom:
    """As asked; or as usual in the shop, which is told where it matters. Refuses an origin beside another beginning."""
    wanted, field, stated = asked.wanted.laid_from, asked.field, asked.shop.usual.laid_from
    if not isinstance(of.origin, UnsetType):
        if wanted not in {UNSET, "margin"}:
            message = f"holes laid from {wanted} have their place; accepted: leave it out, or laid_from margin"
            raise refuse(f"{pointer}/origin", message)
        return "margin"
    if not isinstance(wanted, UnsetType):
        return wanted
    if stated is None or field.disc:
        return "margin"
    margin = 0.0 if isinstance(of.margin, UnsetType) else of.margin
    pitches, sides = (of.pitch, _either(of.pitch_across, of.pitch)), (field.width, field.height)
    over = [left_over(side - 2 * margin, pitch) for side, pitch in zip(sides, pitches, strict=True)]
    if stated == "centre" or max(over) > SPOKEN_OF:
        return asked.usual(f"{asked.pointer}/laid_from", UNSET, stated, "where the shop leaves what is left over")
    return stated


def _taking(every: Lattice, taken: Taken) -> Lattice:
    return Lattice(
        every.x, every.y, every.pitch_x, every.pitch_y, every.columns, every.rows, taken, (), every.spans,
        every.bare_columns, every.bare_rows,
    )  # fmt: skip


def _separate(asked: Asked) -> list[tuple[str, Lattice]]:
    """Two lattices: the tapped one usually as wide as the locating one and half a pitch up and across from it."""
    wanted, field, usual, pointer = asked.wanted, asked.field, asked.usual, asked.pointer
    first = LatticeSpec(asked.usual_pitch) if isinstance(wanted.locating, UnsetType) else wanted.locating
    pitch = usual(
        f"{pointer}/locating/pitch",
        UNSET if isinstance(wanted.locating, UnsetType) else wanted.locating.pitch,
        asked.usual_pitch,
        "the usual pitch for this screw",
    )
    across = _either(first.pitch_across, pitch)
    margin = usual(
        f"{pointer}/locating/margin",
        _either(first.margin, wanted.margin),
        _usual_margin(min(pitch, across), field, asked.reach),
        why_margin(field),
    )
    beginning = _laid_from(asked, LatticeSpec(pitch, margin, first.origin, across), f"{pointer}/locating")
    laying = Laying(across, beginning)
    locating = lattice(pitch, margin, first.origin, field, f"{pointer}/locating", laying=laying)
    second = LatticeSpec(pitch, pitch_across=across) if isinstance(wanted.tapped, UnsetType) else wanted.tapped
    tapped_pitch = usual(
        f"{pointer}/tapped/pitch",
        UNSET if isinstance(wanted.tapped, UnsetType) else wanted.tapped.pitch,
        pitch,
        "the same as the locating holes",
    )
    tapped_margin = usual(f"{pointer}/tapped/margin", _either(second.margin, wanted.margin), margin, "the same margin")
    between = Point(_halfway(locating.x, pitch), _halfway(locating.y, across))
    origin = usual_origin(f"{pointer}/tapped/origin", second.origin, between, usual)
    apart = Laying(second.pitch_across)
    tapped = lattice(tapped_pitch, tapped_margin, origin, field, f"{pointer}/tapped", laying=apart)
    return [
        ("locating", without_left_out(locating, first, f"{pointer}/locating")),
        ("tapped", without_left_out(tapped, second, f"{pointer}/tapped")),
    ]


def _usual_margin(pitch: Length, field: Field, reach: float) -> Length:
    """One pitch, and no less than `reach`; or half the shorter side of a field too small for that."""
    half = smaller(field.width, field.height) / 2
    return pitch if reach <= pitch <= half else _mm(min(half, max(pitch, reach)))


def _reach(holes: Iterable[Hole], corner: float, shop: ShopData) -> float:
    """How far from a corner in mm a hole clears those of the next face, which are as deep.

    At a square or wider corner, that is as far as they are deep; in a sharper one each leans into the other.
    """
    each = [(hole.bores[0].depth, hole.widest) for hole in holes]
    deep, wide = max(depth for depth, _ in each), max(widest for _, widest in each)
    leaning = radians(min(corner, 90))
    return ceil((deep * (1 + cos(leaning)) + wide / 2 + shop.walls.between_holes) / sin(leaning))


def _either(first: Length | UnsetType, second: Other) -> Length | Other:
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
