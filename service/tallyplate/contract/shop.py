"""Shop data: how the shop works, from a date. Manufacturing owns it; it holds no money.

These are the sections that families and several cost modules share. A plugin's own figures are a struct that it
declares; `ShopData.figures` hands it back by its type.
"""

from datetime import date
from math import inf
from typing import Any, Literal, TypeVar

from msgspec import Struct

from tallyplate.contract.build import Blank, Body
from tallyplate.contract.figures import (
    CubicMillimetresPerSecond,
    Days,
    Degrees,
    Figure,
    HoursPerDay,
    Kilograms,
    KilogramsPerCubicMillimetre,
    Megapascals,
    Millimetres,
    MillimetresPerSecond,
    PerKelvin,
    Ratio,
    Seconds,
    TurnsPerSecond,
)
from tallyplate.contract.refusals import one_of, refuse
from tallyplate.units import Length, decimal_text

Own = TypeVar("Own", bound=Struct)


class Sheet(Struct, frozen=True, forbid_unknown_fields=True):
    """One form in which a material is bought: what a blank of it can be."""

    thicknesses: tuple[Length, ...]
    clean_up: Millimetres
    """Removed from each large face before it is true."""
    edge_allowance: Millimetres
    """Left on each sawn edge for squaring."""
    longest: Length
    widest: Length

    def __post_init__(self) -> None:
        """Sizes stand in rising order, so that a reader sees the next one up."""
        if not self.thicknesses or list(self.thicknesses) != sorted(set(self.thicknesses)):
            message = "thicknesses must be given in rising order, each once"
            raise ValueError(message)


class Speeds(Struct, frozen=True, forbid_unknown_fields=True):
    """Cutting speeds and removal rate of a material."""

    drilling: MillimetresPerSecond
    reaming: MillimetresPerSecond
    tapping: MillimetresPerSecond
    boring: MillimetresPerSecond
    milling: MillimetresPerSecond
    removal: CubicMillimetresPerSecond
    """Volume milled away in roughing."""


class Material(Struct, frozen=True, forbid_unknown_fields=True):
    """A plate material: physical constants, how it cuts, what may be done to it."""

    title: str
    group: str
    """The trade's word for its kind, such as aluminium or steel."""
    bushed: bool
    """Soft metal, whose close-tolerance holes get hardened bushings (common practice, no source)."""
    density: KilogramsPerCubicMillimetre
    expansion: PerKelvin
    modulus: Megapascals
    finishes: tuple[str, ...]
    speeds: Speeds
    stock: dict[str, Sheet]
    source: str


class Screw(Struct, frozen=True, forbid_unknown_fields=True):
    """A clamping screw and every size that goes with it."""

    major: Millimetres
    pitch: Millimetres
    tap_drill: Millimetres
    clearance: Millimetres
    counterbore: Millimetres
    counterbore_depth: Millimetres
    locating: Millimetres
    """Close-tolerance diameter of the combination or locating hole that goes with this screw."""
    locating_tolerance: Millimetres
    bushing_outside: Millimetres
    bushing_tolerance: Millimetres
    """Width of the size tolerance of the hole that the bushing is pressed into."""
    bushing_length: Length
    usual_pitch: Length
    source: str


class TSlot(Struct, frozen=True, forbid_unknown_fields=True):
    """A table slot by its width, and the screw whose T-nut the standard gives it."""

    width: Length
    screw: str


class FeedStep(Struct, frozen=True, forbid_unknown_fields=True):
    """Feed per revolution for tools up to a diameter."""

    up_to: Length
    feed: Millimetres


class Cutting(Struct, frozen=True, forbid_unknown_fields=True):
    """Allowances and habits of the machining centre's cycles, for every material."""

    spot: bool
    """Whether holes are spotted before they are drilled."""
    chamfer: bool
    """Whether the mouths of holes are chamfered."""
    approach: Millimetres
    """Fed in air before a tool touches."""
    breakthrough: Millimetres
    """Fed beyond the far face in a through hole, besides the drill's point."""
    point_angle: Degrees
    drill_feeds: tuple[FeedStep, ...]
    ream_feed: Ratio
    """Reaming feed as a multiple of the drill's."""
    bore_feed: Millimetres
    counterbore_factor: Ratio
    """Speed and feed of a counterbore as a share of drilling's."""
    spot_diameter: Length
    ream_allowance: Millimetres
    """Left on the diameter for the reamer."""
    bore_below: Length
    """Position tolerances tighter than this get each locating hole bored for position before it is reamed."""
    peck_from: Ratio
    """Depth in diameters from which a drill pecks, and the depth of one peck."""
    thread_mill_from: Length
    """Major diameter from which threads are milled rather than tapped."""
    thread_mill_feed: Millimetres
    thread_mill_share: Ratio
    """Diameter of the thread mill as a share of the thread's."""

    def __post_init__(self) -> None:
        """The feed table must reach every drill."""
        reaches = [step.up_to for step in self.drill_feeds]
        if not reaches or reaches != sorted(set(reaches)):
            message = "drill_feeds must rise in up_to, each diameter once"
            raise ValueError(message)

    def drill_feed(self, diameter: float) -> float:
        """Feed in mm/rev for a drill; beyond the table, that of its last step."""
        for step in self.drill_feeds:
            if diameter <= step.up_to:
                return step.feed
        return self.drill_feeds[-1].feed


class Machine(Struct, frozen=True, forbid_unknown_fields=True):
    """The machining centre that plates are made on."""

    traverse: MillimetresPerSecond
    """Rapid moves across the plate."""
    retract: MillimetresPerSecond
    """Rapid moves along the tool."""
    settle: Seconds
    """Lost at each position to start, stop and settle."""
    tool_change: Seconds
    spindle: TurnsPerSecond
    travel_x: Length
    travel_y: Length
    load: Kilograms
    holds: Length
    """The tightest position tolerance, as a zone diameter, that it is trusted with."""


class Walls(Struct, frozen=True, forbid_unknown_fields=True):
    """Least solid left between features."""

    between_holes: Millimetres
    to_edge: Millimetres


class WorkCenter(Struct, frozen=True, forbid_unknown_fields=True):
    """What a work centre can do in a working day, and how long work waits for it."""

    capacity: HoursPerDay
    queue: Days

    def __post_init__(self) -> None:
        """Nothing would ever leave a work centre without capacity."""
        if self.capacity <= 0:
            message = "capacity must be more than 0 h/day"
            raise ValueError(message)


class Finish(Struct, frozen=True, forbid_unknown_fields=True):
    """A finish on offer, and the working days that it takes."""

    title: str
    days: Days


class Limits(Struct, frozen=True, forbid_unknown_fields=True):
    """What one person may lift, by the published constant, and how long stock takes to come."""

    one_person_lift: Kilograms
    stock_days: Days
    source: str


class UsualAnswers(Struct, frozen=True, forbid_unknown_fields=True):
    """What the shop takes for granted when a caller does not say; trade habits, common practice, no source."""

    thickness: Length
    screw: str
    arrangement: Literal["alternating", "combination", "separate"]
    position_tolerance: Length
    flatness: Length
    finish: str
    edges: tuple[Literal["left", "right", "bottom", "top"], ...]
    surface: Literal["t_slots", "tapped_grid", "none"]
    slot_width: Length
    slot_spacing: Length
    grid_pitch: Length
    locate: Literal["pins", "retractable_pins", "keys", "none"]
    thread_diameters: Ratio
    """Length of full thread in a tapped hole, in diameters."""
    holding_spacing: Length
    """Greatest distance between neighbouring holding screws along the plate."""


class ShopData(Struct, frozen=True, eq=False):
    """Everything manufacturing has said that is in force on a date. Compared by identity: it is loaded once."""

    id: str
    effective_from: date
    digest: str
    materials: dict[str, Material]
    finishes: dict[str, Finish]
    screws: dict[str, Screw]
    t_slots: tuple[TSlot, ...]
    cutting: Cutting
    machine: Machine
    walls: Walls
    work_centers: dict[str, WorkCenter]
    limits: Limits
    usual: UsualAnswers
    own: dict[type, Any]

    def figures(self, kind: type[Own]) -> Own:
        """The section that a plugin declared with the struct `kind`."""
        found: Own = self.own[kind]
        return found

    def material(self, name: str, pointer: str = "/plate/material") -> Material:
        """A material by name; refuses one that is not on offer."""
        try:
            return self.materials[name]
        except KeyError:
            raise one_of(pointer, name, self.materials) from None

    def screw(self, designation: str, pointer: str) -> Screw:
        """A screw by designation; refuses one that is not on offer."""
        try:
            return self.screws[designation]
        except KeyError:
            raise one_of(pointer, designation, self.screws) from None

    def finish(self, name: str, pointer: str = "/plate/finish") -> str:
        """A finish by name; refuses one that is not on offer."""
        if name not in self.finishes:
            raise one_of(pointer, name, self.finishes)
        return name

    def slot_screw(self, width: float) -> str | None:
        """The screw whose T-nut the standard gives a slot of this width, within a tenth of a millimetre."""
        return next((slot.screw for slot in self.t_slots if abs(slot.width - width) <= 0.1), None)

    def mass(self, body: Body) -> float:
        """Mass in kg of the solid body: holes are not taken out, so what must be lifted is never understated."""
        return body.volume * self.materials[body.material].density

    def blanks(self, body: Body) -> tuple[Blank, ...]:
        """The stock that a flat body can be cut from, thinnest first in each form.

        Of one form only the thinnest that leaves both faces their clean-up is named: a thicker one is more of the
        same material with more to take off. Refuses a body that no stock holds, and says what would be accepted.
        """
        blanks = []
        thickest, longest, widest = 0.0, 0.0, 0.0
        for form, sheet in self.materials[body.material].stock.items():
            length, width = body.length + 2 * sheet.edge_allowance, body.width + 2 * sheet.edge_allowance
            needed = body.thickness + 2 * sheet.clean_up
            fits = max(length, width) <= sheet.longest and min(length, width) <= sheet.widest
            thickness = min((size for size in sheet.thicknesses if size >= needed - 1e-9), default=inf)
            if fits and thickness < inf:
                blanks.append(Blank(form, length, width, float(thickness)))
            thickest = max(thickest, sheet.thicknesses[-1] - 2 * sheet.clean_up)
            longest = max(longest, sheet.longest - 2 * sheet.edge_allowance)
            widest = max(widest, sheet.widest - 2 * sheet.edge_allowance)
        if not blanks:
            pointer = "/plate/thickness" if body.thickness > thickest else "/plate/length"
            message = (
                f"no stock of {body.material} holds {decimal_text(body.length, 3)} x {decimal_text(body.width, 3)} x "
                f"{decimal_text(body.thickness, 3)} mm; the largest finished plate is {decimal_text(longest, 3)} x "
                f"{decimal_text(widest, 3)} x {decimal_text(thickest, 3)} mm"
            )
            raise refuse(pointer, message)
        return tuple(blanks)


__all__ = [
    "Cutting", "FeedStep", "Figure", "Finish", "Limits", "Machine", "Material", "Screw", "Sheet", "ShopData", "Speeds",
    "TSlot", "UsualAnswers", "Walls", "WorkCenter",
]  # fmt: skip
