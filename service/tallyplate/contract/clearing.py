"""How a pattern gives way to areas: positions in or too near to one are given up, counted by the row first."""

from collections.abc import Iterable, Iterator
from typing import Final

from msgspec import Struct

from tallyplate.contract.build import HoleGroup
from tallyplate.contract.giving_way import MAX_GIVEN_UP, giving_up
from tallyplate.contract.outlines import Outline, runs
from tallyplate.contract.refusals import refuse
from tallyplate.lattice import GUARD, Chord, Lattice, Node, count_on

ROW: Final = 5
"""Place of the row's number in a chord."""


class Claim(Struct, frozen=True):
    """An area that holes of the pattern keep clear of by a wall in mm, and the field that asks for it."""

    outline: Outline
    wall: float
    asked: str


def clearing(
    pattern_holes: tuple[HoleGroup, ...], claims: tuple[Claim, ...]
) -> tuple[tuple[HoleGroup, ...], tuple[tuple[str, Node], ...]]:
    """The pattern without the positions whose holes would come nearer to an area than its wall, and those.

    Refuses an area that would take more than `MAX_GIVEN_UP` positions.
    """
    return giving_up(pattern_holes, lambda group, lattice: tuple(_lost(lattice, group.hole.widest / 2, claims)))


def _lost(lattice: Lattice, radius: float, claims: Iterable[Claim]) -> Iterator[Node]:
    most = MAX_GIVEN_UP
    for claim in claims:
        found = list(_stretches(lattice, claim, radius + claim.wall))
        count = sum(count_on([chord], middle) for chord, middle in found)
        if count > most:
            raise _too_many(claim, f"{count} positions")
        most -= count
        for chord, middle in found:
            yield from lattice.nodes_on([chord], middle)


def _stretches(lattice: Lattice, claim: Claim, distance: float) -> Iterator[tuple[Chord, float]]:
    """What of each row comes nearer to an area than a distance: as chords, each with its middle."""
    _, lower, _, upper = claim.outline.box
    half = (upper - lower) / 2 + distance
    if min(lattice.rows, 2 * half / lattice.pitch_y) > MAX_GIVEN_UP:
        raise _too_many(claim, "the room of too many rows")
    chords = lattice.chords((lower + upper) / 2, half)
    if not chords:
        return
    first, last = min(chord[ROW] for chord in chords), max(chord[ROW] for chord in chords)
    heights = [lattice.y + row * lattice.pitch_y for row in range(first, last + 1)]
    taken = runs(claim.outline, heights, distance * (1 - GUARD))
    for start, step, places, _, columns, row in chords:
        for left, right in taken.get(row - first, ()):
            yield (start, step, places, (right - left) / 2, columns, row), (left + right) / 2


def _too_many(claim: Claim, what: str) -> Exception:
    message = f"takes {what} of the pattern; accepted: a smaller area or a wider pitch, for at most {MAX_GIVEN_UP}"
    return refuse(claim.asked, message)
