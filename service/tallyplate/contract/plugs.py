"""A lid of hole plugs: which plugs close the holes of a pattern."""

from tallyplate.contract.build import Build, Hardware, Hole
from tallyplate.contract.shop import ShopData
from tallyplate.lattice import GUARD

PLUG = "plug"


def plugs(build: Build, shop: ShopData) -> tuple[Hardware, ...]:
    """A plug for each hole of the pattern, by the screw that it was made for; a hole of no screw's size has none."""
    counts: dict[str, int] = {}
    for group in build.holes:
        size = "" if group.mounting else _size(group.hole, shop)
        if size:
            counts[size] = counts.get(size, 0) + group.count
    return tuple(Hardware(PLUG, size, count) for size, count in counts.items())


def _size(hole: Hole, shop: ShopData) -> str:
    """The screw of a hole: as it is named, or the one whose close-tolerance holes are as wide."""
    if hole.size in shop.screws:
        return hole.size
    wide = hole.bores[-1].diameter
    return next((name for name, screw in shop.screws.items() if abs(screw.locating - wide) <= GUARD * wide), "")
