"""ISO 286 tolerance grades that the trade's holes are made to."""

from typing import Final

IT7: Final = (
    (3, 10), (6, 12), (10, 15), (18, 18), (30, 21), (50, 25), (80, 30),
    (120, 35), (180, 40), (250, 46), (315, 52), (400, 57), (500, 63),
)  # fmt: skip
"""ISO 286-1: sizes in mm up to which the grade is so many micrometres wide. The tests hold it to published tables."""


def it7(diameter: float) -> float:
    """Width in mm of grade IT7 at a diameter in mm; beyond 500 mm, where the standard's main table ends, its last."""
    return next((width for up_to, width in IT7 if diameter <= up_to), IT7[-1][1]) / 1000
