"""The cells of a workbook that somebody edited, read within bounds: what each holds, and how it is shown.

Nothing in the file is carried out: no formula, no macro, no link to another file.
"""

import re
import warnings
from collections.abc import Iterator, Sequence
from datetime import date, time, timedelta
from decimal import Decimal
from io import BytesIO
from typing import Any, Final
from zipfile import ZipFile

from msgspec import Struct

from tallyplate.decoding import shown
from tallyplate.rates.files import DataError
from tallyplate.rates.sheet_export import EXACT_DIGITS, MAX_ROWS, SHEET, WIDTHS, openpyxl

MAX_BYTES: Final = 5_000_000
"""Largest workbook that is read; a card's is some twenty kilobytes."""

MAX_UNPACKED: Final = 50_000_000
"""Most that all parts of a workbook may unpack to: it is a ZIP archive, and a small one can hold a great deal."""

MAX_COLUMNS: Final = 50
"""Columns among which those of a card are looked for."""

LAST_ROW: Final = 1_048_576
"""The last row that spreadsheets have."""

NEEDED: Final = tuple(name for name in WIDTHS if name != "origin")
"""The columns that a card is read from; what stands in others does not count."""

_ESCAPED: Final = re.compile(r"'+([=+\-@\t\n]|\Z)")
_DECIMALS: Final = re.compile(r"0\.(0+)")


class Cell(Struct, frozen=True):
    """What a cell holds, and how it is shown where that is a number; `computed` is a formula or an error."""

    content: str | float | date | time | timedelta | None
    number_format: str = "General"
    computed: bool = False

    @property
    def number(self) -> bool:
        """Whether it holds a number."""
        return isinstance(self.content, int | float) and not isinstance(self.content, bool)

    @property
    def percent(self) -> bool:
        """Whether it is shown as hundredths, which a spreadsheet does of itself when somebody types 8 %."""
        return self.number and "%" in self.number_format

    @property
    def text(self) -> str:
        """A text without the apostrophe that kept it from being misread; a number as decimals."""
        if isinstance(self.content, str):
            return self.content[1:] if _ESCAPED.match(self.content) else self.content
        if isinstance(self.content, int | float) and self.number:
            return self._decimals(self.content)
        return "" if self.content is None else str(self.content)

    def _decimals(self, number: float) -> str:
        """All decimals that a number has, and at least as many as are shown, without what binary leaves beyond."""
        exact = Decimal(number) if isinstance(number, int) else Decimal(f"{number:.{EXACT_DIGITS}g}")
        whole, _, decimals = f"{exact * 100 if self.percent else exact:f}".partition(".")
        least = _DECIMALS.search(self.number_format)
        decimals = decimals.rstrip("0").ljust(len(least[1]) if least else 0, "0")
        return f"{whole}.{decimals}" if decimals else whole

    @property
    def found(self) -> str:
        """What it holds, for a message."""
        if self.content is None:
            return "nothing"
        if self.computed:
            return f"the {'formula' if self.text.startswith('=') else 'error'} {shown(self.content)}"
        return shown(self.content) if isinstance(self.content, str) else self.text


EMPTY: Final = Cell(None)


def read_cells(content: bytes) -> list[tuple[int, dict[str, Cell]]]:
    """Each row that holds anything, with its number, as cells by the name of their column.

    Raises `DataError` for what is no workbook of this kind or too large, and for a column that is missing.
    """
    library = openpyxl()
    try:
        _check_parts(content)
        with warnings.catch_warnings():
            # What the library does not know of a workbook's looks is of no matter here.
            warnings.simplefilter("ignore")
            book = library.load_workbook(BytesIO(content), read_only=True, keep_links=False)
            return [*_named(_bounded(_sheet(book)))]
    except DataError:
        raise
    except Exception as error:  # noqa: BLE001 - a stranger's file can fail the library in any way
        cause = error.__cause__ or error
        message = f"cannot be read as an XLSX workbook ({type(cause).__name__}: {cause})"
        raise DataError(message) from None


def _check_parts(content: bytes) -> None:
    if len(content) > MAX_BYTES:
        message = f"is too large; accepted: at most {MAX_BYTES} bytes"
        raise DataError(message)
    parts = ZipFile(BytesIO(content)).infolist()
    unpacked = sum(part.file_size for part in parts)
    if unpacked > MAX_UNPACKED:
        message = f"unpacks to {unpacked} bytes; accepted: at most {MAX_UNPACKED}"
        raise DataError(message)
    if any(part.filename.casefold().endswith("vbaproject.bin") for part in parts):
        message = "has macros; accepted: a workbook without, saved as .xlsx"
        raise DataError(message)


def _sheet(book: Any) -> Any:  # noqa: ANN401 - the library is not typed
    if SHEET not in book.sheetnames:
        message = f"sheet {SHEET!r} is missing; found: {', '.join(book.sheetnames)}"
        raise DataError(message)
    return book[SHEET]


def _bounded(sheet: Any) -> Iterator[tuple[int, Sequence[Cell]]]:  # noqa: ANN401 - the library is not typed
    """The rows that hold anything; the size that the file claims for itself does not count."""
    sheet.reset_dimensions()
    # Of rows that the file leaves out, and there may be a million, the library hands over one and the same.
    nothing: object = None
    for number, row in enumerate(sheet.iter_rows(max_col=MAX_COLUMNS), start=1):
        cells = [] if row is nothing else [_cell(cell) for cell in row]
        filled = any(cell is not EMPTY for cell in cells)
        if number > (MAX_ROWS if filled else LAST_ROW):
            message = f"row {number}: is beyond the last that is read; accepted: at most {MAX_ROWS} rows"
            raise DataError(message)
        if filled:
            yield number, cells
        else:
            nothing = row


def _cell(cell: Any) -> Cell:  # noqa: ANN401 - the library is not typed
    if cell.value is None or cell.value == "":
        return EMPTY
    computed = cell.data_type in {"f", "e"}
    content = str(getattr(cell.value, "text", "=...")) if computed and not isinstance(cell.value, str) else cell.value
    return Cell(content, cell.number_format or "General", computed)


def _named(rows: Iterator[tuple[int, Sequence[Cell]]]) -> Iterator[tuple[int, dict[str, Cell]]]:
    """The rows below the first, which names the columns."""
    number, first = next(rows, (1, ()))
    names = [cell.text.strip().casefold() for cell in first]
    for needed in NEEDED:
        if number > 1 or names.count(needed) != 1:
            found = ", ".join(filter(None, names)) if number == 1 else "nothing"
            message = f"row 1: column {needed!r} must stand there once; found: {found or 'nothing'}"
            raise DataError(message)
    for row, cells in rows:
        yield row, {name: cells[names.index(name)] for name in NEEDED}
