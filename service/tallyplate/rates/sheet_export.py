"""The rows of a rate card as an XLSX workbook of one sheet, for a spreadsheet to open.

A number is a number with the decimals that the card states, so that it can be reckoned with and comes back as it was.
All else is text, and formatted as text: a spreadsheet would take the screw 1/2-13 for a date. A text that begins like
a formula gets an apostrophe before it, which is taken off when it is read.
"""

import re
from collections.abc import Sequence
from datetime import date
from importlib import import_module
from io import BytesIO
from typing import Any, Final

from msgspec.structs import asdict

from tallyplate.decoding import shown
from tallyplate.rates.files import DataError
from tallyplate.rates.sheet import Row, Scalar

SHEET: Final = "Rate card"

MAX_ROWS: Final = 10_000
"""Most rows that are written or read; the demonstration's card has some two hundred."""

MAX_TEXT: Final = 32_767
"""Longest text of a cell, as spreadsheets have it."""

TEXT_FORMAT: Final = "@"
DATE_FORMAT: Final = "yyyy-mm-dd"

EXACT_DIGITS: Final = 15
"""Digits that a spreadsheet keeps of a number."""

WIDTHS: Final = {"section": 38, "key": 20, "figure": 14, "unit": 14, "comment": 60, "origin": 50}
"""Columns in their order, and how wide they are."""

FIRST_DATE: Final = date(1901, 1, 1)
"""The first date that all spreadsheets agree on; the days of 1900 are counted in two ways."""

_NUMBER: Final = re.compile(r"(0|[1-9][0-9]*)(?:\.([0-9]+))?")
_MISREAD: Final = re.compile(r"'*([=+\-@\t\n]|\Z)")
"""A text that a spreadsheet would take for a formula or for nothing, or that seems to have its apostrophe already."""

_UNWRITABLE: Final = re.compile(r"[^\t\n\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]|_x[0-9A-Fa-f]{4}_")
"""What XML cannot hold, and what spreadsheets read as one such character."""


def openpyxl() -> Any:  # noqa: ANN401 - it is not typed
    """The library for workbooks, which only spreadsheets need; raises `DataError` where it is not installed."""
    try:
        return import_module("openpyxl")
    except ImportError:
        message = "spreadsheets need more than is installed; install tallyplate[sheets]"
        raise DataError(message) from None


def workbook(rows: Sequence[Row]) -> bytes:
    """An XLSX file; raises `DataError` for what a sheet cannot hold."""
    if len(rows) >= MAX_ROWS:
        message = f"{len(rows)} rows; accepted: at most {MAX_ROWS - 1}"
        raise DataError(message)
    library = openpyxl()
    book = library.Workbook()
    sheet = book.active
    sheet.title = SHEET
    sheet.freeze_panes = "A2"
    sheet.auto_filter.ref = f"A1:F{len(rows) + 1}"
    for letter, (name, width) in zip("ABCDEF", WIDTHS.items(), strict=True):
        sheet.column_dimensions[letter].width = width
        # Rows that are added later are text too, save for their figures.
        sheet.column_dimensions[letter].number_format = "General" if name == "figure" else TEXT_FORMAT
    sheet.append([*WIDTHS])
    for cell in sheet[1]:
        cell.font = library.styles.Font(bold=True)
    for number, row in enumerate(map(asdict, rows), start=2):
        for column, name in enumerate(WIDTHS, start=1):
            content = row[name]
            if name == "figure" and content is not None:
                cell = sheet.cell(number, column)
                cell.value, cell.number_format = _figure(content, number)
            elif content:
                cell = sheet.cell(number, column, _text(content, number))
                cell.number_format = TEXT_FORMAT
        if row["comment"]:
            sheet.cell(number, [*WIDTHS].index("comment") + 1).alignment = library.styles.Alignment(wrap_text=True)
    written = BytesIO()
    book.save(written)
    return written.getvalue()


def _figure(figure: Scalar, row: int) -> tuple[Scalar, str]:
    """What a cell holds, and how it is shown."""
    if isinstance(figure, date) and figure >= FIRST_DATE:
        return figure, DATE_FORMAT
    if isinstance(figure, bool):
        return figure, "General"
    number = _NUMBER.fullmatch(str(figure))
    if number is None or len(number[0]) > EXACT_DIGITS:
        return _text(str(figure), row), TEXT_FORMAT
    if number[2]:
        return float(number[0]), f"0.{'0' * len(number[2])}"
    return int(number[0]), "0"


def _text(text: str, row: int) -> str:
    unwritable = _UNWRITABLE.search(text)
    if unwritable:
        message = f"row {row}: {shown(text)} holds {shown(unwritable[0])}, which a sheet cannot hold"
        raise DataError(message)
    if len(text) >= MAX_TEXT:
        message = f"row {row}: {shown(text)} has {len(text)} characters; accepted: fewer than {MAX_TEXT}"
        raise DataError(message)
    return f"'{text}" if _MISREAD.match(text) else text
