"""Hole-grid arithmetic: counts, paths, positions and clearances.

Counting is closed-form: a lattice of a million holes costs no more to count than one of ten. Positions are made only
when someone asks for them. Lengths are mm.
"""

from collections.abc import Iterable, Iterator, Sequence
from enum import StrEnum
from itertools import combinations
from math import ceil, floor, hypot, inf, sqrt
from typing import Final

from msgspec import Struct

from tallyplate.columns.parting import distance, number_of, remembered
from tallyplate.left_out import ends, gaps, kept, nodes_kept, parted

GUARD: Final = 1e-9
"""Slack of a count before a floor or ceiling, so that what fits exactly in text is not lost to binary fractions."""

SPAN_SLACK: Final = 1e-7
"""Slack of a span in mm, a tenth of a nanometre; were it a share of the pitch, a wider pitch might fit more holes."""

Node = tuple[int, int]
"""Column and row of a lattice position, counted from 0 at the lower left."""


class Taken(StrEnum):
    """Which nodes of a lattice a kind of hole takes: all, or every other one like a chessboard."""

    ALL = "all"
    EVEN = "even"
    ODD = "odd"

    @property
    def parities(self) -> tuple[int, ...]:
        """What column and row of a node that is taken make together: even, 0, or odd, 1."""
        return (0, 1) if self is Taken.ALL else (int(self is Taken.ODD),)

    __hash__ = str.__hash__  # layouts are keys of caches, and an enumeration's own hash is slow


def fitting(span: float, pitch: float) -> int:
    """How many positions fit on a span: both ends count, so a span of 0 holds one and a negative span none."""
    return max(0, floor((span + SPAN_SLACK) / pitch) + 1)


class Lattice(Struct, frozen=True, gc=False):
    """Equally spaced positions: the node (0, 0) at x, y, then `columns` by `rows` at the pitches.

    `without` names nodes that the kind would take but that are given up, for instance to a holding screw. `spans` names
    the first and the last column of each row where the field is no rectangle; an empty row ends before it begins.
    `bare_columns` and `bare_rows`, which rise, are left out whole.
    """

    x: float
    y: float
    pitch_x: float
    pitch_y: float
    columns: int
    rows: int
    taken: Taken = Taken.ALL
    without: tuple[Node, ...] = ()
    spans: tuple[Node, ...] = ()
    bare_columns: tuple[int, ...] = ()
    bare_rows: tuple[int, ...] = ()

    @property
    def count(self) -> int:
        """Positions taken, in closed form; work by the row where rows differ."""
        if self.spans:
            return sum(len(run) for row in range(self.rows) for run in self._runs(row)) - number_of(self.without)
        if self.bare_columns or self.bare_rows:
            alike, mixed = nodes_kept(kept(self.columns, self.bare_columns), kept(self.rows, self.bare_rows))
            return sum((alike, mixed)[parity] for parity in self.taken.parities) - number_of(self.without)
        nodes = self.columns * self.rows
        if self.taken is Taken.EVEN:
            nodes = (nodes + 1) // 2
        elif self.taken is Taken.ODD:
            nodes //= 2
        return nodes - number_of(self.without)

    @property
    def path(self) -> float:
        """Length in mm of a tool's way over all nodes, row by row and back and forth.

        A kind that takes every other node, or gives some up, or leaves out rows or columns, is charged the same way: so
        a hole fewer never costs a longer way.
        """
        if self.columns < 1 or self.rows < 1:
            return 0.0
        if self.spans:
            return self._path_over_spans()
        return self.rows * (self.columns - 1) * self.pitch_x + (self.rows - 1) * self.pitch_y

    def _path_over_spans(self) -> float:
        """Along every row, up from row to row, and once across for where the rows end apart.

        More than the way over a convex field, and never less for a field within another.
        """
        rows = [span for span in self.spans if span[0] <= span[1]]
        along = sum(last - first for first, last in rows)
        across = max(last for _, last in rows) - min(first for first, _ in rows) if rows else 0
        return (along + across) * self.pitch_x + max(0, len(rows) - 1) * self.pitch_y

    def _columns(self, row: int) -> range:
        """The columns of a row that the kind takes, given up or left out or not."""
        first, last = self.spans[row] if self.spans else (0, self.columns - 1)
        if self.taken is Taken.ALL:
            return range(first, last + 1)
        odd = self.taken is Taken.ODD
        return range(first + ((first + row) % 2 != odd), last + 1, 2)

    def _runs(self, row: int) -> tuple[range, ...]:
        """The columns of a row that the kind takes, given up or not, in runs that columns left out part."""
        if row in self.bare_rows:
            return ()
        columns = self._columns(row)
        return parted(columns, self.bare_columns) if self.bare_columns else (columns,)

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, lower, right and upper place in mm of the columns and rows that are not left out."""
        left, right = ends(self.columns, self.bare_columns)
        lower, upper = ends(self.rows, self.bare_rows)
        return (*self.position((left, lower)), *self.position((right, upper)))

    @property
    def spacing(self) -> float:
        """Least distance in mm between two positions taken."""
        if self.bare_columns or self.bare_rows:
            return self.between(self.taken, self.taken)
        if self.taken is Taken.ALL:
            return min(self.pitch_x, self.pitch_y)
        return min(2 * self.pitch_x, 2 * self.pitch_y, hypot(self.pitch_x, self.pitch_y))

    def between(self, first: Taken, second: Taken) -> float:
        """Least distance in mm between a node of one kind and another node of another, those left out set aside."""
        across, up = gaps(self.columns, self.bare_columns), gaps(self.rows, self.bare_rows)
        return min(
            (
                hypot(right * self.pitch_x, higher * self.pitch_y)
                for (column, other_column), rights in across.items()
                for (row, other_row), highers in up.items()
                if (column + row) % 2 in first.parities and (other_column + other_row) % 2 in second.parities
                for right in rights
                for higher in highers
                if right or higher
            ),
            default=inf,
        )

    def taken_of(self, nodes: Iterable[Node]) -> Iterator[Node]:
        """Those of some nodes of the lattice at which this kind has a hole."""
        without = frozenset(self.without)
        for column, row in nodes:
            if not 0 <= row < self.rows or row in self.bare_rows or column in self.bare_columns:
                continue
            if column in self._columns(row) and (column, row) not in without:
                yield column, row

    def nodes(self) -> Iterator[Node]:
        """Every node taken, row by row, lazily."""
        without = frozenset(self.without)
        for row in range(self.rows):
            for run in self._runs(row):
                for column in run:
                    if (column, row) not in without:
                        yield column, row

    def position(self, node: Node) -> tuple[float, float]:
        """Centre in mm of a node."""
        return self.x + node[0] * self.pitch_x, self.y + node[1] * self.pitch_y

    def positions(self) -> Iterator[tuple[float, float]]:
        """Centres in mm of every position taken, row by row, lazily."""
        return map(self.position, self.nodes())

    def chords(self, y: float, distance: float) -> list["Chord"]:
        """The rows that circles about places at height `y` cross: work by the circles' radius, not by size."""
        reach, up, pitch = distance * (1 - GUARD), y - self.y, self.pitch_x
        first, last = ceil((up - reach) / self.pitch_y), floor((up + reach) / self.pitch_y)
        chords = []
        for row in range(max(0, first), min(self.rows, last + 1)):
            away = row * self.pitch_y - up
            half = sqrt(max(0.0, reach * reach - away * away))
            chords += [
                (self.x + run.start * pitch, run.step * pitch, len(run), half, run, row) for run in self._runs(row)
            ]
        return chords

    def nodes_on(self, chords: Sequence["Chord"], x: float) -> list[Node]:
        """The nodes taken whose centres lie on `chords` whose middle is at `x`: nearer than their distance."""
        near = []
        for start, step, _, half, columns, row in chords:
            first, last = max(0, ceil((x - start - half) / step)), floor((x - start + half) / step)
            if last >= first:
                near += [(column, row) for column in columns[first : last + 1]]
        given_up = frozenset(self.without)
        return [node for node in near if node not in given_up] if given_up else near


Chord = tuple[float, float, int, float, range, int]
"""A run of places that circles cross: its first and its step in mm, how many, half the chord in mm, columns, row."""


def count_on(chords: Sequence[Chord], x: float) -> int:
    """How many places there are on chords whose middle is at `x`; those that are given up count."""
    count = 0
    for start, step, places, half, _, _ in chords:
        first, beyond = ceil((x - start - half) / step), floor((x - start + half) / step) + 1
        if beyond > 0 and first < places and beyond > first:
            count += min(places, beyond) - max(0, first)
    return count


class Points(Struct, frozen=True, gc=False):
    """A handful of positions given one by one, such as those of holding screws; in the order a tool visits them."""

    at: tuple[tuple[float, float], ...]

    @property
    def count(self) -> int:
        """How many positions."""
        return len(self.at)

    @property
    def path(self) -> float:
        """Length in mm of the way from the first to the last."""
        return sum(distance(x2 - x1, y2 - y1) for (x1, y1), (x2, y2) in zip(self.at, self.at[1:], strict=False))

    @property
    def spacing(self) -> float:
        """Least distance in mm between two of them; infinite for fewer than two."""
        return min([hypot(x2 - x1, y2 - y1) for (x1, y1), (x2, y2) in combinations(self.at, 2)], default=inf)

    def positions(self) -> Iterator[tuple[float, float]]:
        """Centres in mm, in order."""
        return iter(self.at)


Layout = Lattice | Points


@remembered(1024)
def crowded(lattice: Lattice, points: Points, distance: float) -> frozenset[Node]:
    """The nodes taken that lie nearer than `distance` to any of the points.

    Remembered: a pattern gives way to its mounting and is then checked against it, and orders repeat their plates.
    """
    chords = {y: lattice.chords(y, distance) for y in {y for _, y in points.at}}
    return frozenset([node for x, y in points.at for node in lattice.nodes_on(chords[y], x)])
