"""Hatching at 45 degrees of a polygon without holes of its own."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import ceil
from typing import Final

from tallyplate.documents.drawings.shapes import Line, Spot

APART: Final = 2.0
"""Between the lines across their direction, in mm of paper."""


def hatched(corners: Sequence[Spot]) -> Iterator[Line]:
    """The lines within a polygon: those on which y - x is a multiple of the distance, so that neighbours run on."""
    step = APART * 2**0.5
    levels = [y - x for x, y in corners]
    level = ceil(min(levels) / step) * step
    while level < max(levels):
        met = sorted(_crossings(corners, level))
        for enters, leaves in zip(met[::2], met[1::2], strict=False):
            if leaves - enters > APART / 10:
                yield Line("HATCH", (enters, enters + level), (leaves, leaves + level))
        level += step


def _crossings(corners: Sequence[Spot], level: float) -> Iterator[float]:
    """Where the line y = x + level meets the sides: each side holds its first corner and not its last."""
    for (x1, y1), (x2, y2) in pairwise((*corners, corners[0])):
        first, second = y1 - x1 - level, y2 - x2 - level
        if (first <= 0) != (second <= 0):
            yield x1 + (x2 - x1) * first / (first - second)
