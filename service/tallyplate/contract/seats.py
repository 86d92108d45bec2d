"""Where the seats of slot keys lie in a plate's underside, and which holes come near them. Lengths are mm.

Two keys lie in one slot of the table, far apart, so that the slot alone aligns the plate (common practice, no source):
in a slot of the holding screws where these leave room, else in one between. Of the places within a pitch of the
farthest out, each seat takes the one that fewest holes of the pattern come near.
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from math import ceil, floor, hypot
from typing import Final

from msgspec.structs import replace

from tallyplate.contract.build import HoleGroup, Recess
from tallyplate.contract.laying import Field
from tallyplate.contract.placing import axes
from tallyplate.contract.sections import Walls
from tallyplate.lattice import GUARD, Lattice, Node

MOST_NEAR: Final = 500
"""Holes near a seat from which its place is no longer looked for: the seat is as far out as it gets."""

Spot = tuple[float, float]

Run = tuple[float, float]
"""Where along a slot the middle of a seat may lie: from and to."""


def opening(group: HoleGroup, seat: Recess, thickness: float, walls: Walls) -> float:
    """The widest of a hole that comes nearer than the least wall to the depth of a seat; 0 where nothing does."""
    hole = group.hole
    if group.face == seat.face:
        return hole.widest
    least = thickness - seat.depth - walls.between_holes + GUARD
    widest = max((bore.diameter for bore in hole.bores if bore.depth > least), default=0.0)
    if hole.thread and hole.above + hole.thread.depth > least:
        widest = max(widest, hole.thread.major)
    return widest


def apart(seat: Recess, place: Spot, spot: Spot) -> float:
    """How far a spot is from the box of a seat with its middle at a place; 0 within it."""
    return hypot(
        max(0.0, abs(spot[0] - place[0]) - seat.length / 2), max(0.0, abs(spot[1] - place[1]) - seat.width / 2)
    )


def nodes_near(lattice: Lattice, seat: Recess, distance: float) -> Iterator[Node]:
    """The nodes taken whose centres are nearer than a distance to a seat, for each of its places."""
    reach, half = distance * (1 - GUARD), (seat.length / 2 + distance, seat.width / 2 + distance)
    for x, y in seat.at:
        first = ceil((x - half[0] - lattice.x) / lattice.pitch_x), ceil((y - half[1] - lattice.y) / lattice.pitch_y)
        last = floor((x + half[0] - lattice.x) / lattice.pitch_x), floor((y + half[1] - lattice.y) / lattice.pitch_y)
        rows = range(max(0, first[1]), min(lattice.rows, last[1] + 1))
        columns = range(max(0, first[0]), min(lattice.columns, last[0] + 1))
        for node in lattice.taken_of((column, row) for row in rows for column in columns):
            if apart(seat, (x, y), lattice.position(node)) < reach:
                yield node


@lru_cache(maxsize=1024)
def seated(
    seat: Recess,
    field: Field,
    pattern_holes: tuple[HoleGroup, ...],
    holding: HoleGroup,
    spacing: float,
    walls: Walls,
) -> Recess:
    """The two seats at their places; without any where the plate has no slot with room for them.

    Remembered, as the places of screws are.
    """
    clear = opening(holding, seat, field.thickness, walls) / 2 + walls.between_holes
    rows = sorted({y for _, y in holding.layout.positions()})
    between = [rows[0] + spacing * step for step in range(1, round((rows[-1] - rows[0]) / spacing))]
    for y in (*rows, *between):
        screws = sorted(x for x, at in holding.layout.positions() if at == y)
        runs = list(_runs(seat.length / 2, field.width, screws, clear, walls))
        ends = _ends(runs, seat.length + walls.between_holes)
        if ends:
            left, right = (_least(seat, run, y, field, pattern_holes, walls) for run in ends)
            return replace(seat, at=((left, y), (right, y)))
    return seat


def _runs(half: float, width: float, screws: Sequence[float], clear: float, walls: Walls) -> Iterator[Run]:
    """What edges and screws leave of a slot, from left to right."""
    start = walls.to_edge + half
    for screw in screws:
        if screw - clear - half >= start - GUARD:
            yield start, screw - clear - half
        start = max(start, screw + clear + half)
    if width - walls.to_edge - half >= start - GUARD:
        yield start, width - walls.to_edge - half


def _ends(runs: Sequence[Run], least: float) -> tuple[Run, Run] | None:
    """Where the left and the right seat may lie: the second run is turned about, since its far end comes first."""
    if not runs or runs[-1][1] - runs[0][0] < least - GUARD:
        return None
    (first, inner), (outer, last) = runs[0], runs[-1]
    play = max(0.0, (last - first - least) / 2)
    return (first, min(inner, first + play)), (last, max(outer, last - play))


def _least(seat: Recess, run: Run, y: float, field: Field, pattern_holes: Sequence[HoleGroup], walls: Walls) -> float:
    """The place of a run that fewest holes come near, the nearest of equals to the run's first end."""
    start, room = run[0], run[1] - run[0]
    reaches = [
        (group.layout, wide / 2 + walls.between_holes)
        for group in pattern_holes
        if isinstance(group.layout, Lattice)
        and not group.crowded
        and (wide := opening(group, seat, field.thickness, walls))
    ]

    def lost(shift: float) -> int:
        placed = replace(seat, at=((start + shift, y),))
        return sum(len([*nodes_near(layout, placed, reach)]) for layout, reach in reaches)

    near = sum((seat.length + 2 * d) * (seat.width + 2 * d) / (one.pitch_x * one.pitch_y) for one, d in reaches)
    shifts = {0.0}
    if reaches and near <= MOST_NEAR:
        along, _ = axes(field.width, field.height, [layout for layout, _ in reaches])
        within = min(abs(room), max(pitch for _, pitch in along.steps))
        shifts |= {shift for shift in along.near(start, within) if shift * room >= 0 and abs(shift) <= within + GUARD}
    _, _, shift = min((lost(shift), abs(shift), shift) for shift in shifts)
    return round(start + shift, 6)
