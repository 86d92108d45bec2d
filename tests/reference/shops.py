"""Shop data set to the inputs of published examples, so that the product's own operations work them out.

What an example leaves out costs nothing here: no way in air, no rapid moves, no pecking, no spindle limit.
"""

from math import inf

from msgspec.structs import replace

from tallyplate.contract import (
    Degrees,
    Millimetres,
    MillimetresPerSecond,
    Ratio,
    Seconds,
    ShopData,
    Size,
    TurnsPerSecond,
)
from tallyplate.contract.cutting import FeedStep
from tallyplate.units import Length
from tallyplate_plugins.machining import Tools

INCH = 25.4
NO_POINT = 180.0
"""A drill of this point angle has no point: for the examples that charge the depth alone."""


def shop_of(
    shop: ShopData,
    *,
    drilling: float = inf,
    tapping: float = inf,
    feed: float = 1.0,
    spindle: float = inf,
    point_angle: float = NO_POINT,
    approach: float = 0.0,
    traverse: float = inf,
    retract: float = inf,
) -> ShopData:
    """A shop of a published example: speeds in mm/s, feed in mm a turn, spindle in turns a second."""
    speeds = replace(
        shop.materials["al-6061-t6"].speeds,
        drilling=MillimetresPerSecond(drilling),
        tapping=MillimetresPerSecond(tapping),
    )
    cutting = replace(
        shop.cutting,
        spot=False,
        chamfer=False,
        approach=Millimetres(approach),
        breakthrough=Millimetres(0),
        point_angle=Degrees(point_angle),
        drill_feeds=(FeedStep(Length(1e6, "1 km"), Size(feed)),),
        peck_from=Ratio(1e6),
    )
    machine = replace(
        shop.machine,
        traverse=MillimetresPerSecond(traverse),
        retract=MillimetresPerSecond(retract),
        settle=Seconds(0),
        tool_change=Seconds(0),
        spindle=TurnsPerSecond(spindle),
    )
    material = replace(shop.materials["al-6061-t6"], speeds=speeds)
    return replace(shop, materials={**shop.materials, "al-6061-t6": material}, cutting=cutting, machine=machine)


def tools(shop: ShopData) -> Tools:
    return Tools(shop.materials["al-6061-t6"], shop)
