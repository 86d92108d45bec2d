"""The table that tells the types of hole apart: number, symbol, kind, count, and every step in words."""

from collections.abc import Iterator, Mapping
from typing import Final

from tallyplate.contract import Build
from tallyplate.documents.drawings.shapes import (
    BOLD,
    NORMAL,
    SMALL,
    Line,
    Shape,
    Text,
    breadth,
    polyline,
    stacked,
    wrapped,
)
from tallyplate.documents.drawings.symbols import Symbol, moved
from tallyplate.documents.drawings.views import circle
from tallyplate.documents.measures import Measure
from tallyplate.documents.schedules.holes import HoleType, hole_types, numbered
from tallyplate.documents.schedules.steps import in_words, steps

LAYER: Final = "HOLE_TABLE"
HEAD: Final = 6.0
LINE: Final = 3.6
"""From line to line of a row, in mm of paper."""
LEAST: Final = 9.0
"""Height of the lowest row, which leaves room for a symbol."""
STEP: Final = 2.0
"""Height of the letters of a step."""
COLUMNS: Final = (8.0, 12.0)
"""Number, and symbol; what is left is for the words, and the count stands at the right."""
RADII: Final = (2.0, 4.5)
"""Least and greatest radius in mm of paper that a symbol is shown with."""


def table_height(build: Build, wide: float, measure: Measure) -> float:
    """Height in mm of paper at a width."""
    return HEAD + sum(_row_height(*_lines(build, one, wide, measure)) for one in hole_types(build))


def _row_height(title: list[str], words: list[str]) -> float:
    return max(LEAST, 3.0 + LINE * (len(title) + len(words)))


def _lines(build: Build, one: HoleType, wide: float, measure: Measure) -> tuple[list[str], list[str]]:
    """The title of a type and its steps, in the lines that a table of a width parts them into."""
    room = wide - sum(COLUMNS) - 3.0
    title = f"{one.kind.replace('_', ' ')}, {' and '.join(_faces(one))}"
    beside = room - breadth(str(one.count), NORMAL) - 2.5
    steps = [line for words in _words(build, one, measure) for line in wrapped(words, STEP, room)]
    return wrapped(title, NORMAL, BOLD * beside), steps


def _words(build: Build, one: HoleType, measure: Measure) -> list[str]:
    """The steps of a type, and the circles on which its holes lie."""
    words = [in_words(step) for step in steps(one.hole, measure)]
    body, alike = build.body, [group for number, group in numbered(build) if number == one.number]
    radii = [circle(body.length if body.disc else 0.0, group) for group in alike]
    if any(radii):
        words.append("on circle " + ", ".join(f"\u00d8{measure.size(2 * radius)}" for radius in radii if radius))
    return words


def hole_table(
    build: Build, symbols: Mapping[int, Symbol], box: tuple[float, float, float], measure: Measure
) -> Iterator[Shape]:
    """The table, hung from the upper edge of a box given as left, right and upper."""
    left, right, upper = box
    symbol_at, words_at = left + COLUMNS[0] + COLUMNS[1] / 2, left + sum(COLUMNS) + 1.5
    y = upper - HEAD
    for x, words, anchor in ((left + 2, "No.", "start"), (words_at, "Hole", "start"), (right - 2, "Count", "end")):
        yield Text(LAYER, (x, y + 2.0), words, SMALL, anchor, bold=True)  # type: ignore[arg-type]
    yield Line(LAYER, (left, y), (right, y))
    for one in hole_types(build):
        title, lines = _lines(build, one, right - left, measure)
        high = _row_height(title, lines)
        count = str(one.count)
        base = y - 2.0 - NORMAL
        yield Text(LAYER, (left + 2, base), str(one.number), NORMAL, bold=True)
        yield Text(LAYER, (right - 2, base), count, NORMAL, "end", bold=True)
        yield from moved(symbols[one.number], (symbol_at, y - high / 2), *RADII)
        room = right - words_at - 1.5
        yield from stacked(
            Text(LAYER, (words_at, base), "", NORMAL, bold=True), title, LINE, room - breadth(count, NORMAL) - 2.5
        )
        below = Text(LAYER, (words_at, base - len(title) * LINE), "", STEP)
        yield from stacked(below, lines, LINE, room)
        y -= high
        yield Line(LAYER, (left, y), (right, y))
    for x in (left, right):
        yield from polyline(LAYER, ((x, upper), (x, y)))
    yield Line(LAYER, (left, upper), (right, upper))


def _faces(one: HoleType) -> tuple[str, ...]:
    return one.faces if len(one.faces) <= 2 else (f"{len(one.faces)} faces",)  # noqa: PLR2004 - more fill the row
