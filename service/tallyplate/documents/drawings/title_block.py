"""The title block: what the plate is, what it is made of, and how the sheet is to be read.

Only what customers name is shortened; everything else takes the lines that it needs.
"""

from collections.abc import Iterator, Sequence
from typing import Final

from msgspec import Struct

from tallyplate.documents.drawings.shapes import (
    BOLD,
    LARGE,
    NORMAL,
    SMALL,
    Line,
    Shape,
    Text,
    breadth,
    pressed,
    rectangle,
    stacked,
    wrapped,
)
from tallyplate.documents.drawings.symbols import projection_symbol

LAYER: Final = "TITLE_BLOCK"
ROW: Final = 9.0
HEAD: Final = 13.0
NOTE: Final = 3.6
NOTE_HEIGHT: Final = 2.0
WARNING: Final = 4.2
"""From line to line of a warning."""
VALUE: Final = 2.2
MORE: Final = 2.8
"""What a row grows by with each line more of a value."""
SYMBOL: Final = 4.5
PAD: Final = 1.5


class Field(Struct, frozen=True):
    """A cell: what it states, and the value, which may be one that the customer `given` it."""

    name: str
    value: str
    given: bool = False

    def fitted(self, room: float) -> tuple[float, list[str]]:
        """Letter height and lines of the value: smaller where it is long, and else more lines."""
        if self.given:
            return VALUE, [pressed(Text(LAYER, (0.0, 0.0), self.value, VALUE), room).words]
        height = VALUE if breadth(self.value, VALUE) <= BOLD * room else SMALL
        return height, wrapped(self.value, height, BOLD * room)


Fields = tuple[Field, ...]


class TitleBlock(Struct, frozen=True):
    """The words of a title block: a title, rows of cells, notes above them, and a warning above all."""

    title: str
    rows: tuple[Fields, ...]
    notes: tuple[str, ...]
    warning: str
    first_angle: bool

    def height(self, wide: float) -> float:
        """Height in mm of paper at a width, notes included."""
        rows = sum(_row_height(row, wide) for row in self.rows)
        warned = self.warned(wide)
        above = NOTE * (len(self.noted(wide)) + 1) + (WARNING * len(warned) + NOTE / 2 if warned else 0.0)
        return HEAD + rows + above

    def noted(self, wide: float) -> list[str]:
        """The lines of all notes."""
        return [line for note in self.notes for line in wrapped(note, NOTE_HEIGHT, wide)]

    def warned(self, wide: float) -> list[str]:
        """The lines of the warning."""
        return wrapped(self.warning, NORMAL, BOLD * wide) if self.warning else []


def title_block(block: TitleBlock, left: float, lower: float, right: float) -> Iterator[Shape]:
    """The block, standing on its lower edge; the projection is the first cell of the lowest row, with its symbol."""
    wide, y = right - left, lower
    for row in reversed(block.rows):
        yield from _row(row, left, y, right)
        y += _row_height(row, wide)
    yield from rectangle(LAYER, left, lower, right, y + HEAD)
    at = (left + _widths(block.rows[-1], wide)[0] - 2.2 * SYMBOL, lower + ROW / 2)
    yield from projection_symbol(LAYER, at, SYMBOL, first_angle=block.first_angle)
    yield Line(LAYER, (left, y), (right, y))
    title = Text(LAYER, (left + PAD, y + (HEAD - LARGE) / 2), block.title, LARGE, bold=True)
    yield pressed(title, wide - 2 * PAD)
    notes, warning = block.noted(wide), block.warned(wide)
    y += HEAD - NOTE / 2 + NOTE * len(notes)
    yield from stacked(Text("NOTES", (left, y), "", NOTE_HEIGHT), notes, NOTE, wide)
    y += NOTE / 3 + WARNING * len(warning)
    yield from stacked(Text("WARNING", (left, y), "", NORMAL, bold=True), warning, WARNING, wide)


def _widths(row: Fields, wide: float) -> Sequence[float]:
    """The first cell takes half of a row, and the others share the other half."""
    return (wide / 2, *[wide / 2 / (len(row) - 1)] * (len(row) - 1))


def _row_height(row: Fields, wide: float) -> float:
    cells = zip(row, _widths(row, wide), strict=True)
    return ROW + MORE * (max(len(cell.fitted(room - 2 * PAD)[1]) for cell, room in cells) - 1)


def _row(row: Fields, left: float, y: float, right: float) -> Iterator[Shape]:
    x, upper = left, y + _row_height(row, right - left)
    yield Line(LAYER, (left, y), (right, y))
    for cell, wide in zip(row, _widths(row, right - left), strict=True):
        if x > left:
            yield Line(LAYER, (x, y), (x, upper))
        yield Text(LAYER, (x + PAD, upper - PAD - SMALL), cell.name, SMALL)
        room = wide - 2 * PAD
        height, lines = cell.fitted(room)
        value = Text(LAYER, (x + PAD, upper - ROW + PAD), "", height, bold=True)
        yield from stacked(value, lines, MORE, room)
        x += wide
