"""The model as data: inputs with their units, and fifteen lines. All figures are invented.

A line's quantity is rounded half up to its decimals, its amount to the cent. The units fit each other, so that an
engine without units needs no factor.
"""

import json
import random
from collections.abc import Callable, Iterator
from typing import Final, NamedTuple


class Line(NamedTuple):
    """A quantity by a formula that Python, spreadsheets and rules write alike, in a unit, times a rate."""

    name: str
    formula: str
    unit: str
    decimals: int
    rate: float


INPUTS: Final = {
    "length": (700.0, "mm"),
    "width": (450.0, "mm"),
    "thickness": (38.0, "mm"),
    "holes": (84.0, ""),
    "screws": (12.0, ""),
    "density": (7.87e-6, "kg/mm**3"),
    "saw_speed": (250_000.0, "mm**2/h"),
    "face_speed": (900_000.0, "mm**2/h"),
    "edge_speed": (400_000.0, "mm**2/h"),
    "spot_time": (0.0021, "h"),
    "drill_feed": (9_000.0, "mm/h"),
    "ream_feed": (4_000.0, "mm/h"),
    "tap_time": (0.0083, "h"),
    "mark_time": (0.0007, "h"),
    "characters": (14.0, ""),
    "square": (1e-6, "m**2/mm**2"),
    "probe_time": (0.0037, "h"),
    "setup_time": (1.75, "h"),
    "quantity": (3.0, ""),
}

LINES: Final = (
    Line("stock", "length*width*thickness*density", "kg", 3, 4.10),
    Line("sawing", "(length+width)*thickness/saw_speed", "h", 4, 62.0),
    Line("facing", "2*length*width/face_speed", "h", 4, 96.0),
    Line("edges", "2*(length+width)*thickness/edge_speed", "h", 4, 96.0),
    Line("spotting", "holes*spot_time", "h", 4, 96.0),
    Line("drilling", "holes*thickness/drill_feed", "h", 4, 96.0),
    Line("reaming", "holes*thickness/ream_feed", "h", 4, 96.0),
    Line("tapping", "screws*tap_time", "h", 4, 96.0),
    Line("inserts", "screws*2", "", 0, 2.35),
    Line("bushings", "holes-screws", "", 0, 6.80),
    Line("marking", "characters*mark_time", "h", 4, 48.0),
    Line("finish", "2*(length*width+length*thickness+width*thickness)*square", "m**2", 4, 38.0),
    Line("inspection", "(holes+6)*probe_time", "h", 4, 71.0),
    Line("setup", "setup_time/quantity", "h", 4, 96.0),
    Line("packing", "length*width*thickness*density", "kg", 3, 0.18),
)

Answer = tuple[dict[str, float], float]
"""The amount of each line, and their total."""

Contender = Callable[[bytes], Answer]
"""From a request in JSON, an object of numbers, to what it comes to."""


def requests(count: int) -> Iterator[bytes]:
    """Plates of many sizes, the same whenever this is called."""
    chosen = random.Random(15)  # noqa: S311 - any plates will do
    for _ in range(count):
        plate = {name: value for name, (value, _) in INPUTS.items()}
        plate |= {"length": chosen.randrange(200, 1200) + 0.5, "width": chosen.randrange(200, 900) + 0.25}
        plate |= {"holes": float(chosen.randrange(20, 400)), "quantity": float(chosen.randrange(1, 40))}
        yield json.dumps(plate).encode()
