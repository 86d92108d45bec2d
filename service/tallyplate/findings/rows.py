"""Slots or tapped grid of the table against the rows and columns of the pattern."""

from collections.abc import Iterator
from typing import Final

from tallyplate.contract import HoleGroup, Lattice
from tallyplate.findings.finding import PRACTICE, Case, Finding, Severity
from tallyplate.findings.holding import HOLDING
from tallyplate.findings.walls import SLACK
from tallyplate.units import decimal_text

MANY = 2
"""Holes that a mounting hole takes the room of before it is worth saying."""

MOST_LINES: Final = 1000
"""Lines of the table under a pattern that are looked at for another one that holes lie over."""

SURFACES = {"t_slots": "slots", "tapped_grid": "tapped holes"}


def check(case: Case) -> Iterator[Finding]:
    """Lines of the table that miss the rows, so that mounting holes take the room of more than two holes each.

    Where they meet, each takes the place of one.
    """
    build = case.build
    yield from _laid(case)
    added = sum(group.count for group in build.holes if group.mounting)
    rows = [(group, group.layout) for group in build.holes if isinstance(group.layout, Lattice)]
    lost = len(build.given_up) - build.cleared
    if rows and build.table.surface in SURFACES and lost > MANY * added:
        group, lattice = rows[0]
        yield Finding(
            "rows-off-table",
            Severity.NOTE,
            group.asked,
            f"{SURFACES[build.table.surface]} {decimal_text(build.table.spacing, 2)} mm apart do not meet hole rows "
            f"{decimal_text(lattice.pitch_y, 2)} mm apart: {added} mounting holes take the room of "
            f"{lost}; a spacing of whole pitches takes fewer",
            PRACTICE,
        )


def _laid(case: Case) -> Iterator[Finding]:
    """A pattern laid on the table of whose lines it meets only some: the others run between its holes."""
    table = case.build.table
    group = next((one for one in case.build.holes if isinstance(one.layout, Lattice)), None)
    held = next((one for one in case.build.holes if one.kind == HOLDING), None)
    if not table.laid_on or group is None or held is None:
        return
    line = next(iter(held.layout.positions()))
    ways = [("rows", 1)] if table.surface == "t_slots" else [("rows", 1), ("columns", 0)]
    told = [words for name, way in ways if (words := _met(group, name, way, line[way], table.spacing))]
    if told:
        yield Finding(
            "lines-between-holes",
            Severity.NOTE,
            f"{group.asked}/laid_from",
            f"{SURFACES[table.surface]} {decimal_text(table.spacing, 2)} mm apart: {'; '.join(told)}; the others run "
            "between holes, since their spacing is no whole number of pitches",
            PRACTICE,
        )


def _met(group: HoleGroup, name: str, way: int, line: float, spacing: float) -> str:
    """Which of several lines under the pattern its rows or columns meet, in words; "" where they meet every one."""
    layout = group.layout
    assert isinstance(layout, Lattice)  # noqa: S101 - only a lattice is laid on a table
    first, pitch, count = ((layout.x, layout.pitch_x, layout.columns), (layout.y, layout.pitch_y, layout.rows))[way]
    before, after = (int(room / spacing + SLACK) for room in (line - first, first + (count - 1) * pitch - line))
    lines = before + 1 + after
    steps = range(1, min(MOST_LINES, lines))
    meets = next((step for step in steps if abs(step * spacing % pitch - pitch / 2) >= pitch / 2 - SLACK), 0)
    if lines == 1 or meets == 1:
        return ""
    return f"{name} {decimal_text(pitch, 2)} mm apart meet one in {meets or lines}"
