"""Figures of the shop data by which loads are checked: what threads, eye bolts, people and plates may bear."""

from math import cos, radians
from typing import Final

from msgspec import Struct

from tallyplate.contract.figures import Days, Kelvins, Kilograms, Megapascals, Percentage, Ratio, Size

LEANING: Final = 45
"""Degrees from the upright up to which two slings may lean."""


class Strength(Struct, frozen=True, forbid_unknown_fields=True):
    """The strongest screw that is used in a thread, and the limits of size that its stripping area is worked out by."""

    grade: str
    """The screw's grade by its standard, such as class 12.9."""
    tensile: Megapascals
    """Least tensile strength of that grade."""
    least_major: Size
    """Least major diameter of the screw's thread."""
    widest_pitch_diameter: Size
    """Greatest pitch diameter of the tapped thread."""
    source: str


class EyeBolt(Struct, frozen=True, forbid_unknown_fields=True):
    """What a lifting eye bolt of this thread is rated for: pulled straight, and as one of two whose slings lean."""

    straight: Kilograms
    leaning: Kilograms
    source: str

    def bears(self, count: int) -> float:
        """Mass in kg that so many of them are rated for.

        One is pulled straight. Of more, two are counted, whose slings lean: each pulls 1 / (2 cos 45) of the load.
        """
        return self.straight if count == 1 else 2 * cos(radians(LEANING)) * self.leaning


class Handle(Struct, frozen=True, forbid_unknown_fields=True):
    """A bought handle that two screws hold: the distance of their centres, and what it is rated for."""

    spacing: Size
    rated: Kilograms
    source: str


class Limits(Struct, frozen=True, forbid_unknown_fields=True):
    """What one person may lift, by the published constant, how long stock takes to come, and what a plate may be asked.

    What is not stated is not checked.
    """

    one_person_lift: Kilograms
    stock_days: Days
    source: str
    temperature_swing: Kelvins | None = None
    """How far from 20 deg C, at which sizes are meant (ISO 1), the plate is used."""
    overhang: Ratio | None = None
    """How far a plate may reach beyond the screws that hold it, in thicknesses."""
    character: Size | None = None
    """Room that an engraved character takes along its side."""
    rush: Percentage | None = None
    """Share of each work centre's day that may go to orders in a hurry, which are not on offer where it is not said."""

    def __post_init__(self) -> None:
        """Nobody hurries in no time, nor in more than there is."""
        if self.rush is not None and not 0 < self.rush <= 1:
            message = "rush must lie above 0 and at most at 100 % of the day"
            raise ValueError(message)
