"""The section of the shop data about cutting: allowances and habits of the machining centre, and its end mills."""

from msgspec import Struct

from tallyplate.contract.figures import Degrees, Millimetres, Percentage, Ratio, Size
from tallyplate.units import Length

SHARPEST = 60
FLAT = 180
"""Included angles in degrees between which drill points lie; a flat-bottomed drill has 180."""


class FeedStep(Struct, frozen=True, forbid_unknown_fields=True):
    """Feed per revolution for tools up to a diameter."""

    up_to: Length
    feed: Size


class EndMill(Struct, frozen=True, forbid_unknown_fields=True):
    """An end mill: its diameter, how deep it reaches, its teeth and the feed of each."""

    diameter: Length
    reach: Length
    teeth: int
    feed_per_tooth: Size

    def __post_init__(self) -> None:
        """A mill without teeth cuts nothing."""
        if self.teeth < 1:
            message = "teeth must be at least 1"
            raise ValueError(message)


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
    bore_feed: Size
    counterbore_factor: Percentage
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
    thread_mill_feed: Size
    thread_mill_share: Percentage
    """Diameter of the thread mill as a share of the thread's."""
    end_mills: tuple[EndMill, ...] = ()
    """What pockets, slots and cut-outs are milled with, which are not on offer where there is none."""

    def __post_init__(self) -> None:
        """The feed table must reach every drill, a drill's point must be one, and end mills stand in order."""
        mills = [mill.diameter for mill in self.end_mills]
        if mills != sorted(set(mills)):
            message = "end_mills must rise in diameter, each once"
            raise ValueError(message)
        if not SHARPEST <= self.point_angle <= FLAT:
            message = f"point_angle must lie between {SHARPEST} and {FLAT} deg"
            raise ValueError(message)
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
