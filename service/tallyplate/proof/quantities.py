"""How many plates to price: few, and as many as stand at a step of a price."""

from collections.abc import Iterator
from math import ceil, floor
from typing import Any, Final

from tallyplate.inquiry import MAX_QUANTITY
from tallyplate.pricing import Work

EVERY_UP_TO: Final = 30
ROUND: Final = (50, 100, 250, 500, 1000)
"""Where people like to put a step."""
LOTS: Final = 3
"""How many lots are filled, such as crates."""


def quantities(work: Work) -> list[int]:
    """Every small quantity, and those just before, at and after each step; rising."""
    at = {*ROUND, *_counts(work.card.resolved.data), *_steps(work)}
    near = {step + by for step in at for by in (-1, 0, 1)}
    return sorted({*range(1, EVERY_UP_TO + 1), *(count for count in near if 0 < count <= MAX_QUANTITY)})


def _counts(written: Any) -> Iterator[int]:  # noqa: ANN401 - a tree of anything
    """The whole numbers of a rate card: all else is text with a unit, so that these count something."""
    if isinstance(written, dict | list):
        for part in written.values() if isinstance(written, dict) else written:
            yield from _counts(part)
    elif type(written) is int:
        yield written


def _steps(work: Work) -> Iterator[int]:
    """Quantities that just reach a step of a price list, or just need another lot."""
    for part in work.parts[0]:
        for ready in part.ready or ():
            if ready.per_plate and ready.breaks:
                yield from (ceil(step.from_piece / ready.per_plate) for step in ready.breaks.breaks)
            if ready.per_plate and ready.lot:
                yield from (floor(lots / ready.per_plate) + 1 for lots in range(1, LOTS + 1))
