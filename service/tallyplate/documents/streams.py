"""Tables of any length, as CSV: few rows are held at once, and equal rows give equal bytes."""

import csv
from collections.abc import Iterable, Iterator
from functools import lru_cache
from io import StringIO
from itertools import islice
from typing import Final

from msgspec import Struct

from tallyplate.documents.tables import Cell, as_text, harmless

ROWS: Final = 1000
"""Rows that are written at a time."""

BOM: Final = "\ufeff"

_text = lru_cache(maxsize=1024)(harmless)
"""Remembered: rows repeat their words."""


class Rows(Struct, frozen=True):
    """A table whose rows are made one at a time: a title, columns with their widths in signs, and the rows."""

    title: str
    columns: tuple[tuple[str, int], ...]
    rows: Iterable[tuple[Cell, ...]]


def csv_pieces(table: Rows) -> Iterator[bytes]:
    """CSV (RFC 4180), marked as UTF-8 so that spreadsheets read it as such."""
    text = StringIO(newline="")
    writer = csv.writer(text)
    text.write(BOM)
    writer.writerow([harmless(name) for name, _ in table.columns])
    rows = iter(table.rows)
    while text.tell():
        yield text.getvalue().encode()
        text.seek(0)
        text.truncate()
        writer.writerows(
            [_text(cell) if isinstance(cell, str) else as_text(cell) for cell in row] for row in islice(rows, ROWS)
        )
