"""How holding screws and pins keep clear of what a customer placed: a place too near counts as many lost holes."""

from collections.abc import Callable, Sequence
from typing import Final

from tallyplate.contract.outlines import Outline

Avoided = tuple[tuple[Outline, float], ...]
"""Outlines, and how near in mm the centre of a hole may come to each."""

COSTLY: Final = 10_000
"""Holes of the pattern that one place too near counts for: more than any place takes the room of."""


def clear_of(outlines: Sequence[Outline], widest: float, wall: float) -> Avoided:
    """What holes of some width keep a wall from; lengths in mm."""
    return tuple((outline, widest / 2 + wall) for outline in outlines)


def weighed(lost: Callable[[float], int], avoided: Avoided, rows: Sequence[float]) -> Callable[[float], int]:
    """What a column of holes at some heights costs, by where it stands, with what it would come too near to."""
    near = [
        (outline, clear, y, outline.box)
        for outline, clear in avoided
        for y in rows
        if outline.box[1] - clear < y < outline.box[3] + clear
    ]
    if not near:
        return lost

    def dearer(x: float) -> int:
        beside = [(outline, clear, y) for outline, clear, y, box in near if box[0] - clear < x < box[2] + clear]
        return lost(x) + COSTLY * sum(outline.apart((x, y)) < clear for outline, clear, y in beside)

    return dearer
