"""The title block: what the plate is, what it is made of, and how the sheet is to be read."""

from collections.abc import Iterator
from typing import Final

from msgspec import Struct

from tallyplate.documents.drawings.shapes import LARGE, NORMAL, SMALL, Line, Shape, Text, fitted, pressed, rectangle
from tallyplate.documents.drawings.symbols import projection_symbol

LAYER: Final = "TITLE_BLOCK"
ROW: Final = 9.0
HEAD: Final = 13.0
NOTE: Final = 3.6
VALUE: Final = 2.2
SYMBOL: Final = 4.5
PAD: Final = 1.5


class Field(Struct, frozen=True):
    """A cell: what it states, and the value."""

    name: str
    value: str


class TitleBlock(Struct, frozen=True):
    """The words of a title block: a title, rows of cells, notes above them, and a warning above all."""

    title: str
    rows: tuple[tuple[Field, ...], ...]
    notes: tuple[str, ...]
    warning: str
    first_angle: bool

    @property
    def height(self) -> float:
        """Height in mm of paper, notes included."""
        return HEAD + ROW * len(self.rows) + NOTE * (len(self.notes) + 1) + (2 * NOTE if self.warning else 0)


def title_block(block: TitleBlock, left: float, lower: float, right: float) -> Iterator[Shape]:
    """The block, standing on its lower edge; the projection is the first cell of the lowest row, with its symbol."""
    y = lower
    yield from rectangle(LAYER, left, lower, right, lower + ROW * len(block.rows) + HEAD)
    for row in reversed(block.rows):
        yield from _row(row, left, y, right)
        y += ROW
    wide = (right - left) / len(block.rows[-1])
    at = (left + wide - 2.2 * SYMBOL, lower + ROW / 2)
    yield from projection_symbol(LAYER, at, SYMBOL, first_angle=block.first_angle)
    yield Line(LAYER, (left, y), (right, y))
    title = Text(LAYER, (left + PAD, y + (HEAD - LARGE) / 2), block.title, LARGE, bold=True)
    yield pressed(title, right - left - 2 * PAD)
    y += HEAD + NOTE / 2
    for note in reversed(block.notes):
        yield fitted(Text("NOTES", (left, y), note, SMALL * 1.1), right - left)
        y += NOTE
    if block.warning:
        yield fitted(Text("WARNING", (left, y + NOTE / 3), block.warning, NORMAL, bold=True), right - left)


def _row(row: tuple[Field, ...], left: float, y: float, right: float) -> Iterator[Shape]:
    wide = (right - left) / len(row)
    yield Line(LAYER, (left, y), (right, y))
    for place, cell in enumerate(row):
        x = left + place * wide
        if place:
            yield Line(LAYER, (x, y), (x, y + ROW))
        yield Text(LAYER, (x + PAD, y + ROW - PAD - SMALL), cell.name, SMALL)
        yield pressed(Text(LAYER, (x + PAD, y + PAD), cell.value, VALUE, bold=True), wide - 2 * PAD)
