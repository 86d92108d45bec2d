"""Tables for a spreadsheet, as CSV and XLSX: figures stay figures, and no text is taken for a formula."""

import csv
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from decimal import Decimal
from pathlib import Path
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from tallyplate.documents.texts import printable

FORMULA: Final = tuple("=+-@\uff1d\uff0b\uff0d\uff20")
"""What a formula begins with, also in the wide signs of East Asian keyboards."""

_NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?\Z")

WIDEST: Final = 60
"""Signs of the widest column."""

MAX_ROWS: Final = 1_048_575
"""Rows of a sheet below its header, as many as spreadsheets take."""

Cell = str | int | Decimal


class Table(Struct, frozen=True):
    """A title, the names of the columns, and rows of as many cells."""

    title: str
    columns: tuple[str, ...]
    rows: Sequence[Sequence[Cell]]


def harmless(text: str) -> str:
    """A text that no spreadsheet takes for a formula: one that begins like it gets an apostrophe before it.

    Plain negative numbers are left alone. Tabs and line ends before a formula go with all control characters.
    """
    plain = printable(text)
    return f"'{plain}" if plain.startswith(FORMULA) and not _NUMBER.match(plain) else plain


def write_csv(path: Path, table: Table) -> None:
    """Write a table as CSV (RFC 4180), marked as UTF-8 so that spreadsheets read it as such."""
    with path.open("w", encoding="utf-8-sig", newline="") as file:
        writer = csv.writer(file)
        writer.writerow([harmless(name) for name in table.columns])
        writer.writerows([as_text(cell) for cell in row] for row in table.rows)


def as_text(cell: Cell) -> str:
    """A cell as text, harmless to a spreadsheet; figures keep every decimal and have no exponent."""
    return harmless(cell) if isinstance(cell, str) else f"{cell:f}" if isinstance(cell, Decimal) else str(cell)


def xlsx_writer() -> Callable[[Path, Sequence[Table]], None]:
    """What writes tables as the sheets of an XLSX file.

    Raises `ImportError`, saying what to install, where an optional part is missing: before any work, if called first.
    """
    try:
        from openpyxl import Workbook  # noqa: PLC0415
        from openpyxl.cell import WriteOnlyCell  # noqa: PLC0415
        from openpyxl.styles import Font  # noqa: PLC0415
        from openpyxl.utils import get_column_letter  # noqa: PLC0415
    except ImportError:
        message = "XLSX needs openpyxl, which is not installed: pip install tallyplate[sheets]"
        raise ImportError(message) from None

    def write(path: Path, tables: Sequence[Table]) -> None:
        book, bold = Workbook(write_only=True), Font(bold=True)
        for title, table in _sheets(tables):
            sheet = book.create_sheet(title)
            sheet.freeze_panes = "A2"
            for place, longest in enumerate(_widths(table), start=1):
                sheet.column_dimensions[get_column_letter(place)].width = longest
            for number, row in enumerate([table.columns, *table.rows]):
                cells = []
                for value in row:
                    cell = WriteOnlyCell(sheet, harmless(value) if isinstance(value, str) else value)
                    if isinstance(value, str):
                        cell.data_type = "s"
                    elif isinstance(value, Decimal):
                        cell.number_format = _number_format(value)
                    if not number:
                        cell.font = bold
                    cells.append(cell)
                sheet.append(cells)
        book.save(path)

    return write


def _sheets(tables: Iterable[Table]) -> Iterator[tuple[str, Table]]:
    """Each table with the title of its sheet; what is longer than a sheet goes on in another."""
    for table in tables:
        for number, start in enumerate(range(0, len(table.rows) or 1, MAX_ROWS), start=1):
            title = table.title if number == 1 else f"{table.title} {number}"
            yield title, replace(table, rows=table.rows[start : start + MAX_ROWS])


def _widths(table: Table) -> list[int]:
    """The width of each column in signs: that of its longest cell, within reason."""
    columns = zip(*[table.columns, *table.rows], strict=True)
    return [min(max(len(as_text(cell)) for cell in column) + 2, WIDEST) for column in columns]


def _number_format(amount: Decimal) -> str:
    """Thousands parted, with the decimals that the amount has."""
    decimals = max(0, -int(amount.as_tuple().exponent))
    return "#,##0" + f".{'0' * decimals}" * bool(decimals)
