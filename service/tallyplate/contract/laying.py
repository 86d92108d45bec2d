"""Where a lattice begins in a field of holes, and how many of its holes fit there. Lengths are mm."""

from math import floor, sqrt
from typing import Final

from msgspec import UNSET, Struct, UnsetType
from msgspec.structs import replace

from tallyplate.contract.refusals import Fault, Refusal, refuse
from tallyplate.contract.spec import LaidFrom, LatticeSpec, Pattern, Point
from tallyplate.lattice import SPAN_SLACK, Lattice, Taken, fitting
from tallyplate.units import Length, counted, decimal_text

MAX_HOLES: Final = 5_000_000
"""Most holes of a plate; a lattice of more is refused before anything is made of it."""


class Lines(Struct, frozen=True):
    """Where lines of the machine table lie under a field: one across its length (none of slots), one across its width.

    The others lie whole spacings from them.
    """

    columns: tuple[float, ...]
    rows: tuple[float, ...]


class Field(Struct, frozen=True):
    """What a pattern fills, and the solid under it: its box in mm, the material by name, and whether it is a disc.

    A `blind` field is drilled no deeper than its holes need. One that meets others at its upright edges says
    at which angle in degrees (`corner`), so that its holes usually stand clear of those of its neighbours.
    """

    width: float
    height: float
    thickness: float
    material: str
    disc: bool = False
    blind: bool = False
    corner: float = 0.0
    lines: Lines | None = None
    """The machine table under it, where a pattern is laid on that."""


class Laying(Struct, frozen=True):
    """How a lattice is laid: its pitch along the width, where it begins, whether every second row is shifted."""

    across: Length | UnsetType = UNSET
    laid_from: LaidFrom = "margin"
    staggered: bool = False


PLAIN: Final = Laying()


def lattice(
    pitch: Length,
    margin: float,
    origin: Point | UnsetType,
    field: Field,
    pointer: str,
    taken: Taken = Taken.ALL,
    laying: Laying = PLAIN,
) -> Lattice:
    """The lattice of a pitch in a field, from its beginning or a given origin as far as the far margins let it.

    Staggered, it is every other node of a lattice of half the pitch, and a hole that is laid on the centre or on the
    crossing of two lines is among them. On a disc it is laid about the centre. Refuses a field with no room for a hole,
    and more than `MAX_HOLES`.
    """
    if field.disc:
        return _disc_lattice(pitch, margin, origin, field, pointer)
    staggered, across = laying.staggered, laying.across
    step, rise = pitch / (1 + staggered), float(pitch if isinstance(across, UnsetType) else across)
    lines = field.lines or Lines((), ())
    x, column = _begins(laying.laid_from, margin, step, field.width, lines.columns)
    y, row = _begins(laying.laid_from, margin, rise, field.height, lines.rows)
    if not isinstance(origin, UnsetType):
        x, y = float(origin.x), float(origin.y)
    columns, rows = fitting(field.width - margin - x, step), fitting(field.height - margin - y, rise)
    if columns < 1 or rows < 1:
        raise _no_room(margin, origin, field, pointer)
    if columns * rows > MAX_HOLES:
        message = f"{pitch.text!r} makes {columns * rows} holes; accepted: a pitch that makes at most {MAX_HOLES}"
        raise refuse(f"{pointer}/pitch", message)
    if staggered:
        taken = Taken.ODD if (column + row) % 2 else Taken.EVEN
    return Lattice(x, y, float(step), rise, columns, rows, taken)


def _begins(
    laid_from: LaidFrom, margin: float, pitch: float, size: float, lines: tuple[float, ...]
) -> tuple[float, int]:
    """Where the first hole of a row stands, and the number from 0 of the one that lies on the centre or on a line."""
    if laid_from == "shared":
        return margin + left_over(size - 2 * margin, pitch) / 2, 0
    if laid_from == "centre":
        lines = (size / 2,)
    if laid_from == "margin" or not lines:
        return margin, 0
    steps = floor((lines[0] - margin + SPAN_SLACK) / pitch)
    return lines[0] - steps * pitch, steps


def left_over(span: float, pitch: float) -> float:
    """What whole pitches leave of a span; nothing of one that holds no hole."""
    return max(0.0, span - (fitting(span, pitch) - 1) * pitch) if span > 0 else 0.0


def _no_room(margin: float, origin: Point | UnsetType, field: Field, pointer: str) -> Refusal:
    if not isinstance(origin, UnsetType):
        message = (
            f"no hole fits between the origin {origin.x.text}, {origin.y.text} and the far margins of "
            f"{decimal_text(margin, 3)} mm; accepted: an origin within {decimal_text(field.width - margin, 3)} mm, "
            f"{decimal_text(field.height - margin, 3)} mm"
        )
        return refuse(f"{pointer}/origin", message)
    room = decimal_text(min(field.width, field.height) / 2, 3)
    message = f"no hole fits: the margin {decimal_text(margin, 3)} mm leaves no room; accepted: up to {room} mm"
    return refuse(f"{pointer}/margin", message)


def without_left_out(every: Lattice, wanted: Pattern | LatticeSpec, pointer: str) -> Lattice:
    """A lattice without the rows and columns left out; refuses numbers that it has not, and to leave out every hole."""
    if not wanted.rows_left_out and not wanted.columns_left_out:
        return every
    faults, bare = [], []
    for name, numbers, count in (
        ("columns", wanted.columns_left_out, every.columns),
        ("rows", wanted.rows_left_out, every.rows),
    ):
        faults += [
            Fault(
                f"{pointer}/{name}_left_out/{place}",
                f"{number}: the pattern has {counted(count, name[:-1])}; accepted: 1 to {count}",
            )
            for place, number in enumerate(numbers)
            if number > count
        ]
        bare.append(tuple(sorted({number - 1 for number in numbers})))
    if faults:
        raise Refusal(*faults)
    columns, rows = bare
    left = replace(every, bare_columns=columns, bare_rows=rows)
    if not left.count:
        name = "rows" if rows else "columns"
        raise refuse(f"{pointer}/{name}_left_out", "every hole is left out; accepted: at least one that stays")
    return left


def _disc_lattice(pitch: Length, margin: float, origin: Point | UnsetType, field: Field, pointer: str) -> Lattice:
    if not isinstance(origin, UnsetType):
        raise refuse(f"{pointer}/origin", "the lattice of a disc is laid about its centre; accepted: leave it out")
    if margin > field.width / 2:
        room = decimal_text(field.width / 2, 3)
        message = f"no hole fits: the margin {decimal_text(margin, 3)} mm leaves no room; accepted: up to {room} mm"
        raise refuse(f"{pointer}/margin", message)
    about = (field.width / pitch + 1) ** 2
    if about > MAX_HOLES:
        message = f"{pitch.text!r} makes about {about:.0f} holes; accepted: a pitch that makes at most {MAX_HOLES}"
        raise refuse(f"{pointer}/pitch", message)
    return on_disc(float(pitch), field.width, margin)


def on_disc(pitch: float, diameter: float, margin: float) -> Lattice:
    """The lattice of a pitch about the centre of a disc, as far as centres keep a margin from its rim.

    The centre has a hole. The disc's box starts at 0, 0; work by the row.
    """
    radius = diameter / 2 - margin
    steps = floor((radius + SPAN_SLACK) / pitch)
    start, side = diameter / 2 - steps * pitch, 2 * steps + 1
    halves = [
        floor((sqrt(max(0.0, radius * radius - (row * pitch) ** 2)) + SPAN_SLACK) / pitch)
        for row in range(-steps, steps + 1)
    ]
    spans = tuple((steps - half, steps + half) for half in halves)
    return Lattice(start, start, pitch, pitch, side, side, spans=spans)
