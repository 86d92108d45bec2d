"""The sections of the shop data that families and several cost modules share: what each states, in which unit."""

from itertools import pairwise
from typing import Final, Literal

from msgspec import Struct

from tallyplate.contract.figures import (
    CubicMillimetresPerSecond,
    Days,
    HoursPerDay,
    Kilograms,
    KilogramsPerCubicMillimetre,
    Megapascals,
    Millimetres,
    MillimetresPerSecond,
    PerKelvin,
    Ratio,
    Seconds,
    Size,
    TurnsPerSecond,
)
from tallyplate.contract.loads import EyeBolt, Handle, Strength
from tallyplate.units import Length, unlike


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


CAST: Final = "casting"
"""The form of a blank that a foundry pours."""


class Casting(Struct, frozen=True, forbid_unknown_fields=True):
    """How a material is cast to shape: what is left on milled faces, and how much longer than stock it takes."""

    allowance: Millimetres
    days: Days


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
    blocks: dict[str, Sheet] = {}
    """Forms from which blocks with several working faces are cut."""
    casting: Casting | None = None
    shear: Megapascals | None = None
    """Shear strength, at which a thread strips; where it is not stated, thread is checked by a rule of thumb alone."""

    @property
    def forms(self) -> tuple[str, ...]:
        """Every form that has a price."""
        return (*self.stock, *self.blocks, *((CAST,) if self.casting else ()))

    def __post_init__(self) -> None:
        """What is never in stock is never made."""
        if not self.stock:
            message = "stock must name at least one form that the material is bought in"
            raise ValueError(message)


class Screw(Struct, frozen=True, forbid_unknown_fields=True):
    """A clamping screw and every size that goes with it."""

    major: Size
    pitch: Size
    tap_drill: Size
    clearance: Size
    counterbore: Size
    counterbore_depth: Size
    locating: Size
    """Close-tolerance diameter of the combination or locating hole that goes with this screw."""
    locating_tolerance: Size
    bushing_outside: Size
    bushing_tolerance: Size
    """Width of the size tolerance of the hole that the bushing is pressed into."""
    bushing_length: Length
    usual_pitch: Length
    source: str
    strength: Strength | None = None
    eye_bolt: EyeBolt | None = None
    handle: Handle | None = None
    """The handle that it holds, where there is one."""

    def __post_init__(self) -> None:
        """Each hole is wider than what goes through it, and less wide than what it stops."""
        wider = [*pairwise(("tap_drill", "major", "clearance", "counterbore")), ("locating", "bushing_outside")]
        wrong = [
            f"'{less}' is {_mm(self, less, more)}; accepted: less than '{more}', which is {_mm(self, more, less)}"
            for less, more in wider
            if getattr(self, less) >= getattr(self, more)
        ]
        if wrong:
            raise ValueError("; ".join(wrong))


def _mm(screw: Screw, size: str, other: str) -> str:
    return f"{unlike(getattr(screw, size), getattr(screw, other), 3)} mm"


class TSlot(Struct, frozen=True, forbid_unknown_fields=True):
    """A table slot by its width, and the screw that the standard gives it, as the size of its T-bolt."""

    width: Length
    screw: str
    spacings: tuple[Length, ...] = ()
    """Standard distances between such slots, where there are any."""


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


class Finish(Struct, frozen=True, forbid_unknown_fields=True):
    """A finish on offer, and the working days that it takes."""

    title: str
    days: Days


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
    placing: Literal["outermost", "sparing"] = "outermost"
    """Holding screws and pins as far out as the table lets, or near there where the pattern gives up fewest holes."""
    seats: Literal["kept", "cleared"] = "kept"
    """Holes of the pattern that come near the seat of a key stay, or give way to it."""
    laid_from: Literal["margin", "shared", "centre"] | None = None
    """Where a lattice begins; each answer that it decides is then told, and asked for. Without it, at the margin."""
