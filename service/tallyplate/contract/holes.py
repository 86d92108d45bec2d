"""The trade's standard holes, by screw: what geometry each kind has in a plate of a given thickness.

Lengths are mm. A family chooses kinds and places; the sizes come from the shop data.
"""

from msgspec.structs import replace

from tallyplate.contract.build import Bore, Hole, Thread
from tallyplate.contract.sections import Screw
from tallyplate.contract.shop import ShopData

STI_MAJOR = 1.29904
"""A wire insert's tapped hole is larger than the screw by this many pitches (from memory of ISO metric STI threads)."""

STI_DRILL = 0.2165
"""The tap drill for a wire insert is larger than the screw by this many pitches (from memory, as above)."""

TAP_LEAD = 3
"""Pitches that a blind hole is drilled deeper than its thread, for the lead of the tap (common practice, no source)."""


def _thread(designation: str, screw: Screw, depth: float, insert: bool) -> tuple[float, Thread | None]:
    """The tap drill's diameter, and the thread if there is depth for one."""
    drill = screw.major + STI_DRILL * screw.pitch if insert else float(screw.tap_drill)
    major = screw.major + STI_MAJOR * screw.pitch if insert else float(screw.major)
    return drill, Thread(designation, major, float(screw.pitch), depth) if depth > 0 else None


def tapped_hole(designation: str, thickness: float, shop: ShopData, *, insert: bool = False) -> Hole:
    """Drilled through and tapped from the top, as deep as the shop usually does, for a clamping screw."""
    screw = shop.screws[designation]
    drill, thread = _thread(designation, screw, min(thickness, shop.usual.thread_diameters * screw.major), insert)
    return Hole((Bore(drill, thickness),), thread, parts=_parts(insert=insert), size=designation)


def combination_hole(designation: str, thickness: float, shop: ShopData, *, bushed: bool, insert: bool = False) -> Hole:
    """Close-tolerance above, thread below: bored for a bushing in soft metal, bored to size in hard."""
    screw = shop.screws[designation]
    seat = min(thickness, float(screw.bushing_length))
    below = min(thickness - seat, shop.usual.thread_diameters * screw.major)
    drill, thread = _thread(designation, screw, below, insert)
    bores = (Bore(drill, thickness), _locating_bore(screw, seat, bushed=bushed))
    return Hole(bores, thread, parts=_parts(bushed=bushed, insert=insert), size=designation)


def locating_hole(designation: str, thickness: float, shop: ShopData, *, bushed: bool) -> Hole:
    """A close-tolerance hole without thread: bushed at the top and relieved below, or bored to size throughout."""
    screw = shop.screws[designation]
    if not bushed:
        return Hole((_locating_bore(screw, thickness, bushed=False),))
    seat = min(thickness, float(screw.bushing_length))
    bores = (Bore(float(screw.locating), thickness), _locating_bore(screw, seat, bushed=True))
    return Hole(bores, parts=_parts(bushed=True), size=designation)


def blind_depth(kind: str, designation: str, shop: ShopData) -> float:
    """How deep a hole that does not go through is drilled: for its seat, its thread and the tap's lead."""
    screw = shop.screws[designation]
    seat = 0.0 if kind == "tapped" else float(screw.bushing_length)
    thread = 0.0 if kind == "locating" else shop.usual.thread_diameters * screw.major + TAP_LEAD * screw.pitch
    return seat + thread


def _parts(*, bushed: bool = False, insert: bool = False) -> tuple[str, ...]:
    return ("bushing",) * bushed + ("thread_insert",) * insert


def _locating_bore(screw: Screw, depth: float, *, bushed: bool) -> Bore:
    if bushed:
        return Bore(float(screw.bushing_outside), depth, float(screw.bushing_tolerance))
    return Bore(float(screw.locating), depth, float(screw.locating_tolerance))


def holding_hole(designation: str, thickness: float, shop: ShopData) -> Hole:
    """A clearance hole, counterbored so that the holding screw's head lies below the face."""
    screw = shop.screws[designation]
    depth = min(thickness, float(screw.counterbore_depth))
    return Hole((Bore(float(screw.clearance), thickness), Bore(float(screw.counterbore), depth, flat=True)))


def lifting_hole(designation: str, shop: ShopData, pointer: str) -> Hole:
    """Tapped and blind, for a lifting eye; refuses a screw that is not on offer."""
    shop.screw(designation, pointer)
    return replace(tapped_hole(designation, blind_depth("tapped", designation, shop), shop), through=False)


def pin_hole(designation: str, thickness: float, shop: ShopData, *, through: bool) -> Hole:
    """A close-tolerance hole for a locating pin: blind for a pressed pin, through for one that retracts."""
    screw = shop.screws[designation]
    depth = thickness if through else min(thickness, 1.5 * screw.locating)
    return Hole((Bore(float(screw.locating), depth, float(screw.locating_tolerance)),), through=through)
