"""Tables of any length, as CSV and as workbooks: few rows are held at once, and equal rows give equal bytes."""

import csv
import re
from collections.abc import Iterable, Iterator
from functools import lru_cache
from io import BytesIO, StringIO
from itertools import islice
from typing import Final
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from msgspec import Struct

from tallyplate.documents.tables import Cell, as_text, harmless

ROWS: Final = 1000
"""Rows that are written at a time."""

PIECE: Final = 64 * 1024
"""Bytes of a workbook that are handed on at a time."""

BOM: Final = "\ufeff"

_TIMES = re.compile(rb"(<dcterms:(?:created|modified)[^>]*>)[^<]*")
_NO_TIME = rb"\g<1>1980-01-01T00:00:00Z"


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


def xlsx_pieces(tables: Iterable[Rows]) -> Iterator[bytes]:
    """A workbook with a sheet a table, whose rows go through a temporary file.

    Raises `ImportError` where openpyxl is not installed, before the first piece is asked for.
    """
    import openpyxl  # noqa: PLC0415, F401

    return _xlsx_pieces(tables)


def _xlsx_pieces(tables: Iterable[Rows]) -> Iterator[bytes]:
    from openpyxl import Workbook  # noqa: PLC0415
    from openpyxl.cell import WriteOnlyCell  # noqa: PLC0415
    from openpyxl.styles import Font  # noqa: PLC0415
    from openpyxl.utils import get_column_letter  # noqa: PLC0415

    book, bold = Workbook(write_only=True), Font(bold=True)
    for table in tables:
        sheet = book.create_sheet(table.title)
        sheet.freeze_panes = "A2"
        heads = []
        for place, (name, wide) in enumerate(table.columns, start=1):
            sheet.column_dimensions[get_column_letter(place)].width = wide
            head = WriteOnlyCell(sheet, harmless(name))
            head.font = bold
            heads.append(head)
        sheet.append(heads)
        for row in table.rows:
            sheet.append([_text(cell) if isinstance(cell, str) else cell for cell in row])
    made = BytesIO()
    book.save(made)
    yield from _without_times(made)


def _without_times(made: BytesIO) -> Iterator[bytes]:
    """The same workbook with every time in it set to one."""
    out = BytesIO()
    with ZipFile(made) as parts, ZipFile(out, "w") as again:
        for name in parts.namelist():
            part = ZipInfo(name)
            part.compress_type = ZIP_DEFLATED
            with parts.open(name) as source, again.open(part, "w") as target:
                while piece := source.read(PIECE):
                    target.write(_TIMES.sub(_NO_TIME, piece) if name == "docProps/core.xml" else piece)
    out.seek(0)
    while piece := out.read(PIECE):
        yield piece
