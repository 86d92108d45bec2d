"""Facts from outside the project, one file a topic: what was published, where, and how we know.

`known` is "verified" where somebody looked at the source named, "from memory" where nobody did, "derived" for
arithmetic on verified values, and "common practice" for what has no source. `within` is the slack that the comparison
allows: tables round, and two tables of one quantity differ.
"""

import csv
from pathlib import Path
from typing import NamedTuple

KNOWN = {"verified", "from memory", "derived", "common practice"}

FACTORS = {
    "mm": 1.0,
    "in": 25.4,
    "mm2": 1.0,
    "in2": 25.4**2,
    "kg/m3": 1e-9,
    "lb/in3": 0.45359237 / 25.4**3,
    "um/m/K": 1e-6,
    "GPa": 1000.0,
    "MPa": 1.0,
    "ksi": 4448.2216152605 / 25.4**2,
    "N": 1.0,
    "lbf": 4.4482216152605,
    "kg": 1.0,
    "lb": 0.45359237,
    "ft/min": 304.8 / 60,
    "m/min": 1000 / 60,
}
"""Published units in the product's own: mm, s, kg, N, K. Literals of the inch and pound, not of our registry."""


class Fact(NamedTuple):
    """A published figure as the range that it allows, in the product's units."""

    key: str
    quantity: str
    low: float
    high: float
    known: str
    source: str

    def allows(self, found: float) -> bool:
        slack = 1e-9 * abs(self.high)
        return self.low - slack <= found <= self.high + slack


def facts(topic: str) -> list[Fact]:
    """All facts of a topic, in the order of its file."""
    with Path(__file__).with_name(f"{topic}.csv").open(encoding="utf-8", newline="") as file:
        return [_fact(row) for row in csv.DictReader(file)]


def _fact(row: dict[str, str]) -> Fact:
    """`published` is a figure or a range such as "90 to 113"; `within` a figure or a percentage."""
    first, _, last = row["published"].partition(" to ")
    low, high, factor = float(first), float(last or first), FACTORS[row["unit"]]
    if row["within"].endswith("%"):
        share = float(row["within"].removesuffix("%")) / 100
        low, high = low * (1 - share), high * (1 + share)
    else:
        slack = float(row["within"] or 0)
        low, high = low - slack, high + slack
    return Fact(row["key"], row["quantity"], low * factor, high * factor, row["known"], row["source"])
