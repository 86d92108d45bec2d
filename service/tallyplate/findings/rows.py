"""Slots or tapped grid of the table against the rows of the pattern."""

from collections.abc import Iterator

from tallyplate.contract import Lattice
from tallyplate.findings.finding import PRACTICE, Case, Finding, Severity
from tallyplate.units import decimal_text

MANY = 2
"""Holes that a mounting hole takes the room of before it is worth saying."""

SURFACES = {"t_slots": "slots", "tapped_grid": "tapped holes"}


def check(case: Case) -> Iterator[Finding]:
    """Lines of the table that miss the rows, so that mounting holes take the room of more than two holes each.

    Where they meet, each takes the place of one.
    """
    build = case.build
    added = sum(group.count for group in build.holes if group.mounting)
    rows = [(group, group.layout) for group in build.holes if isinstance(group.layout, Lattice)]
    if rows and build.table.surface in SURFACES and len(build.given_up) > MANY * added:
        group, lattice = rows[0]
        yield Finding(
            "rows-off-table",
            Severity.NOTE,
            group.asked,
            f"{SURFACES[build.table.surface]} {decimal_text(build.table.spacing, 2)} mm apart do not meet hole rows "
            f"{decimal_text(lattice.pitch_y, 2)} mm apart: {added} mounting holes take the room of "
            f"{len(build.given_up)}; a spacing of whole pitches takes fewer",
            PRACTICE,
        )
