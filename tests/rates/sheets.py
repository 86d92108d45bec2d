"""Cards as workbooks: exported, edited as a spreadsheet would, and read back."""

import tomllib
from collections.abc import Callable, Mapping
from io import BytesIO
from typing import Any

import openpyxl

from tallyplate.rates.card import RateCard
from tallyplate.rates.files import written
from tallyplate.rates.inherit import resolve
from tallyplate.rates.load import rate_card
from tallyplate.rates.sheet import Row, rows
from tallyplate.rates.sheet_export import SHEET, workbook
from tallyplate.rates.sheet_import import Imported, imported
from tests.plates import installation
from tests.rates.folder import CARD

DEMO = CARD.read_text()
COLUMN = {"section": "A", "key": "B", "figure": "C", "unit": "D", "comment": "E", "origin": "F"}


def loaded(*texts: str) -> RateCard:
    """The card that the last of some files states, with what it inherits from the others."""
    files = [written(f"{number}.toml", text.encode()) for number, text in enumerate(texts)]
    resolved, problems = resolve({file.data["id"]: file for file in files})
    assert not problems
    return rate_card(resolved[files[-1].data["id"]], installation().modules)


def stated(*texts: str) -> list[Row]:
    """The rows of that card."""
    return [*rows(loaded(*texts), installation().modules, {f"{at}.toml": text for at, text in enumerate(texts)})]


def exported(*texts: str) -> bytes:
    """The workbook of that card."""
    return workbook(stated(*texts))


def edited(content: bytes, edit: Callable[[Any], object] = lambda sheet: sheet) -> bytes:
    """The workbook as a spreadsheet writes it again after an edit of its sheet."""
    book = openpyxl.load_workbook(BytesIO(content))
    edit(book[SHEET])
    saved = BytesIO()
    book.save(saved)
    return saved.getvalue()


def row_of(sheet: Any, section: str, key: str) -> int:
    """The number of the row that states a key."""
    (number,) = [
        row[0].row
        for row in sheet.iter_rows()
        if (row[0].value or "", row[1].value or "") == (section, key) and row[2].value is not None
    ]
    return number


def put(section: str, key: str, /, **cells: Any) -> Callable[[Any], None]:
    """An edit: other contents in some columns of a key's row."""

    def edit(sheet: Any) -> None:
        number = row_of(sheet, section, key)
        for column, content in cells.items():
            sheet[f"{COLUMN[column]}{number}"].value = content

    return edit


def read(content: bytes) -> Imported:
    """The card that a workbook states."""
    return imported("card.xlsx", content, installation().modules)


def data(toml: str) -> Mapping[str, Any]:
    """What a file says."""
    return tomllib.loads(toml)
