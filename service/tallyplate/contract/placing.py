"""Where holding screws and locators go: on the lines of the table, far out, where the pattern gives up least.

Where the shop is sparing, a plate is shifted on its table, and along a slot a screw slides. Of the places within half
a pitch of the farthest out ones (a whole pitch along a slot), those are taken at which fewest holes of the pattern are
lost, and of equals the farthest out: first for the screws together, then for the pins. Screws nearer to each other than
holes give way may share a lost hole, which is then counted for both. Lengths are mm.
"""

from collections.abc import Callable, Iterable, Sequence
from itertools import pairwise
from math import ceil, floor, hypot

from msgspec import Struct

from tallyplate.lattice import GUARD, Lattice, Points

Lost = Callable[[Sequence[float]], Callable[[float], int]]
"""For screws in rows at some heights: how many holes of the pattern those of one column cost, by where it stands."""

Besides = Callable[[Points, float], Callable[[float], int]]
"""With screws at some points: how many more holes a pin at a height costs, by where along the plate it stands."""

Option = tuple[int, tuple[float, ...]]
"""Columns that are moved together, and how far in all, in whole nanometres so that no remains of sums part equals."""


class Stand(Struct, frozen=True):
    """What a plate stands on: lines so far apart; along them places slide (a slot) or stand as far apart (a grid).

    `inset` is the least distance of a screw from an edge, `along` the greatest between two on one slot. `sparing` asks
    for the places where the pattern gives up fewest holes, rather than the farthest out. `laid_on` says that the
    pattern is laid on the lines, which then stay where they are.
    """

    spacing: float
    inset: float
    slotted: bool
    along: float
    sparing: bool
    laid_on: bool = False


class Axis(Struct, frozen=True):
    """One direction of the plate: its size, and where its pattern's holes stand: start and pitch of each lattice."""

    size: float
    steps: tuple[tuple[float, float], ...]

    def near(self, place: float, within: float) -> set[float]:
        """Shifts by which a place comes to stand on a hole or half-way between two; none is one."""
        shifts = {0.0}
        for start, pitch in self.steps:
            half = pitch / 2
            first, last = ceil((place - within - start) / half - GUARD), floor((place + within - start) / half + GUARD)
            # To the nearest whole 1e-9 mm, as `round` would: that one goes through text, and takes as long as the rest.
            shifts |= {floor((start + step * half - place) * 1e9 + 0.5) / 1e9 for step in range(first, last + 1)}
        return shifts


def axes(width: float, height: float, lattices: Iterable[Lattice]) -> tuple[Axis, Axis]:
    """The two directions of a plate with its pattern."""
    known = tuple(lattices)
    return (
        Axis(width, tuple(dict.fromkeys((lattice.x, lattice.pitch_x) for lattice in known))),
        Axis(height, tuple(dict.fromkeys((lattice.y, lattice.pitch_y) for lattice in known))),
    )


def outermost(size: float, inset: float, spacing: float) -> tuple[float, ...]:
    """Lines of a table, `spacing` apart, that lie farthest out under a plate centred on a line or between two.

    Two lines, or one in the middle where two have no room; nothing where not even one keeps its inset.
    """
    usable = size - 2 * inset
    if usable < 0:
        return ()
    half = int(usable / spacing + GUARD) * spacing / 2
    return (size / 2 - half, size / 2 + half) if half > 0 else (size / 2,)


def spread(size: float, inset: float, at_most: float) -> tuple[float, ...]:
    """Evenly spread places from inset to inset, no farther apart than `at_most`; at least two."""
    span = size - 2 * inset
    if span <= 0:
        return ()
    steps = max(1, ceil(span / at_most - GUARD))
    return tuple(inset + span * step / steps for step in range(steps + 1))


def screws(across: Axis, along: Axis, stand: Stand, lost: Lost) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Columns and rows of holding screws; either is empty where the plate has no room."""
    rows = outermost(across.size, stand.inset, stand.spacing)
    columns = (
        spread(along.size, stand.inset, stand.along)
        if stand.slotted
        else outermost(along.size, stand.inset, stand.spacing)
    )
    if not rows or not columns or not across.steps or not stand.sparing:
        return columns, rows
    choices = _slid(along, columns, stand) if stand.slotted else _as_one(along, columns, stand)
    best: tuple[int, int, tuple[float, ...], tuple[float, ...]] | None = None
    for shift in {0.0} if stand.laid_on else _together(across, rows, stand.inset):
        moved = tuple(row + shift for row in rows)
        count, away, found = _fewest(choices, lost(moved))
        key = (count, away + _nanometres(abs(shift)), found, moved)
        if best is None or key < best:
            best = key
    assert best is not None  # noqa: S101 - a shift of nothing is always among them
    return _exact(best[2]), _exact(best[3])


def _exact(places: Iterable[float]) -> tuple[float, ...]:
    """Places to the nanometre, without the remains of sums in binary."""
    return tuple(round(place, 6) for place in places)


def _together(axis: Axis, lines: Sequence[float], inset: float) -> set[float]:
    """Shifts of all lines at once that keep the outer ones within the plate."""
    room = max(0.0, min(lines[0] - inset, axis.size - inset - lines[-1]))
    halves = max((pitch / 2 for _, pitch in axis.steps), default=0.0)
    return {shift for line in lines for shift in axis.near(line, room) if abs(shift) <= halves + GUARD}


def _slid(axis: Axis, columns: Sequence[float], stand: Stand) -> list[list[Option]]:
    """For each column by itself, where along its slot it may stand: the outer ones inwards, the others to and fro."""
    pitch = max(step for _, step in axis.steps)
    play = (stand.along - max(right - left for left, right in pairwise(columns))) / 2
    room = axis.size / 2 - stand.inset
    first, *inner, last = columns
    return [
        _options((first,), [shift for shift in axis.near(first, pitch) if 0 <= shift < room]),
        *(_options((column,), axis.near(column, min(pitch, max(0.0, play)))) for column in inner),
        _options((last,), [shift for shift in axis.near(last, pitch) if -room < shift <= 0]),
    ]


def _as_one(axis: Axis, columns: Sequence[float], stand: Stand) -> list[list[Option]]:
    """All columns of a grid shifted together."""
    return [_options(columns, {0.0} if stand.laid_on else _together(axis, columns, stand.inset))]


def _options(columns: Sequence[float], shifts: Iterable[float]) -> list[Option]:
    return [(_nanometres(len(columns) * abs(shift)), tuple([column + shift for column in columns])) for shift in shifts]


def _nanometres(millimetres: float) -> int:
    return floor(millimetres * 1e6 + 0.5)


def _fewest(choices: list[list[Option]], lost: Callable[[float], int]) -> tuple[int, int, tuple[float, ...]]:
    """Of each list of choices the one that loses fewest, then the least moved: what all lose, how far, and all."""
    found: tuple[float, ...] = ()
    total, moved = 0, 0
    for options in choices:
        count, away, chosen = min([(sum(map(lost, columns)), away, columns) for away, columns in options])
        found, total, moved = found + chosen, total + count, moved + away
    return total, moved, found


def pins(
    columns: Sequence[float],
    rows: Sequence[float],
    along: Axis,
    stand: Stand,
    besides: Besides,
) -> Points | None:
    """Two places so far inside the outer holding screws that they stand clear of them; None without room.

    On the lowest line of the table, or across the plate where that line is too short for two.
    """
    clear = 2 * stand.inset
    step = clear if stand.slotted else stand.spacing * max(1, ceil(clear / stand.spacing - GUARD))
    first, last = columns[0] + step, columns[-1] - step
    if first > last + GUARD:
        return None
    lower, upper = rows[0], rows[0] if last - first >= step else rows[-1]
    if hypot(last - first, upper - lower) < step:
        return None
    if not stand.slotted or not along.steps or not stand.sparing:
        return Points(((first, lower), (last, upper)))
    room = (last - first - (step if lower == upper else 0.0)) / 2
    within = min(room, max(pitch for _, pitch in along.steps))
    held = Points(tuple((x, y) for x in columns for y in rows))
    forth = [shift for shift in along.near(first, within) if shift >= 0]
    back = [shift for shift in along.near(last, within) if shift <= 0]
    left, right = _exact((_least(first, forth, besides(held, lower)), _least(last, back, besides(held, upper))))
    return Points(((left, lower), (right, upper)))


def _least(place: float, shifts: Iterable[float], lost: Callable[[float], int]) -> float:
    """Of a place moved by shifts, where fewest holes are lost, and of equals the nearest."""
    return min([(lost(place + shift), abs(shift), place + shift) for shift in shifts])[-1]
