"""Holes at places of their own on a flat plate: one by one, on a circle, or one bore. Lengths are mm."""

from math import cos, radians, sin, tau
from typing import Final

from msgspec import UNSET, Struct, UnsetType
from msgspec.structs import replace

from tallyplate.contract.build import Bore, Hole, HoleGroup
from tallyplate.contract.features import HoleCircle, MadeHole, PlacedBore, PlacedHoles
from tallyplate.contract.fits import it7
from tallyplate.contract.holes import TAP_LEAD, combination_hole, holding_hole, locating_hole, tapped_hole
from tallyplate.contract.laying import Field
from tallyplate.contract.outlines import Spot
from tallyplate.contract.refusals import refuse
from tallyplate.contract.shop import ShopData
from tallyplate.contract.spec import Point, Usual
from tallyplate.lattice import Points
from tallyplate.units import Length, decimal_text

PLAIN: Final = "plain"


class Ground(Struct, frozen=True):
    """The plate that features go into, the shop that makes them, and what notes the answers that nobody gave."""

    field: Field
    shop: ShopData
    usual: Usual


def one_by_one(of: PlacedHoles, ground: Ground, pointer: str) -> HoleGroup:
    """Like holes where they are said; refuses a centre that is not on the plate."""
    at = tuple(spot(point, ground.field, f"{pointer}/at/{number}") for number, point in enumerate(of.at))
    return HoleGroup(of.kind, _hole(of, ground, pointer), Points(at), asked=pointer, placed=True)


def circle(of: HoleCircle, ground: Ground, pointer: str) -> HoleGroup:
    """Like holes on a circle; refuses a circle that leaves the plate."""
    x, y = spot(of.centre, ground.field, f"{pointer}/centre")
    radius, field = of.circle / 2, ground.field
    room = min(x, y, field.width - x, field.height - y)
    if radius >= room:
        message = f"{of.circle.text} leaves the plate; accepted: less than {decimal_text(2 * room, 3)} mm about there"
        raise refuse(f"{pointer}/circle", message)
    turns = [radians(of.start_angle) + tau * place / of.count for place in range(of.count)]
    at = tuple((x + radius * cos(turn), y + radius * sin(turn)) for turn in turns)
    return HoleGroup(of.kind, _hole(of, ground, pointer), Points(at), asked=pointer, placed=True)


def bore(of: PlacedBore, ground: Ground, pointer: str) -> HoleGroup:
    """A close-tolerance bore through the plate; refuses one that leaves no plate."""
    field = ground.field
    least = min(field.width, field.height)
    if of.diameter >= least:
        message = f"{of.diameter.text} leaves no plate; accepted: less than {decimal_text(least, 3)} mm"
        raise refuse(f"{pointer}/diameter", message)
    tolerance = it7(of.diameter) if isinstance(of.tolerance, UnsetType) else float(of.tolerance)
    hole = Hole((Bore(float(of.diameter), field.thickness, tolerance),))
    return HoleGroup("bore", hole, Points((spot(of.at, ground.field, f"{pointer}/at"),)), asked=pointer, placed=True)


def spot(point: Point | UnsetType, field: Field, pointer: str) -> Spot:
    """A place in mm, the middle of the plate where none is said; refuses one that is not on the plate."""
    if isinstance(point, UnsetType):
        return field.width / 2, field.height / 2
    for axis, at, size in (("x", point.x, field.width), ("y", point.y, field.height)):
        if at >= size:
            message = f"{at.text} is not on the plate; accepted: less than {decimal_text(size, 3)} mm"
            raise refuse(f"{pointer}/{axis}", message)
    return float(point.x), float(point.y)


def _hole(of: MadeHole, ground: Ground, pointer: str) -> Hole:
    """The hole of a kind; refuses answers that have no meaning for the kind, or are wanting."""
    field, shop = ground.field, ground.shop
    useless = ("screw",) if of.kind == PLAIN else ("diameter", "tolerance")
    for name in useless:
        if getattr(of, name) is not UNSET:
            raise refuse(f"{pointer}/{name}", f"has no meaning for a {of.kind} hole; accepted: leave it out")
    through = isinstance(of.depth, UnsetType)
    deep = field.thickness if isinstance(of.depth, UnsetType) else _depth(of.depth, field, f"{pointer}/depth")
    if of.kind == PLAIN:
        if isinstance(of.diameter, UnsetType):
            raise refuse(f"{pointer}/diameter", "is required and missing; accepted: the diameter of a plain hole")
        return Hole((Bore(float(of.diameter), deep, _given(of.tolerance)),), through=through)
    if isinstance(of.screw, UnsetType):
        raise refuse(f"{pointer}/screw", f"is required and missing; accepted: {', '.join(sorted(shop.screws))}")
    screw = shop.screw(of.screw, f"{pointer}/screw")
    if of.kind == "counterbored" and not through:
        raise refuse(f"{pointer}/depth", "a counterbored hole goes through; accepted: leave it out")
    bushed = shop.materials[field.material].bushed
    hole = {
        "tapped": lambda: tapped_hole(of.screw, deep, shop),
        "locating": lambda: locating_hole(of.screw, deep, shop, bushed=bushed),
        "combination": lambda: combination_hole(of.screw, deep, shop, bushed=bushed),
        "clearance": lambda: Hole((Bore(float(screw.clearance), deep),)),
        "counterbored": lambda: holding_hole(of.screw, deep, shop),
    }[of.kind]()
    return hole if through else _blind(hole, TAP_LEAD * screw.pitch)


def _given(tolerance: Length | UnsetType) -> float:
    return 0.0 if isinstance(tolerance, UnsetType) else float(tolerance)


def _depth(depth: Length, field: Field, pointer: str) -> float:
    if depth >= field.thickness:
        least = decimal_text(field.thickness, 3)
        message = f"{depth.text} goes through; accepted: less than {least} mm, or leave it out for a hole through"
        raise refuse(pointer, message)
    return float(depth)


def _blind(hole: Hole, lead: float) -> Hole:
    """A hole that ends in the solid: its thread ends where the tap's lead does."""
    thread = hole.thread
    if thread:
        long = min(thread.depth, hole.bores[0].depth - hole.above - lead)
        thread = replace(thread, depth=long) if long > 0 else None
    return replace(hole, thread=thread, through=False)
