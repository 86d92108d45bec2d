"""Tables for a spreadsheet: figures stay figures, and no text becomes a formula."""

import csv
import sys
import zipfile
from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tallyplate.documents import tables
from tallyplate.documents.tables import Table, harmless, write_csv, xlsx_writer
from tallyplate.documents.texts import printable

# The beginnings that OWASP's page on CSV injection lists, and their wide forms.
BEGINNINGS = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
ATTACKS = (
    "=1+1",
    "=cmd|' /C calc'!A0",
    '=HYPERLINK("http://evil.example","look")',
    "+1+1",
    "-1+1",
    "-2+3+cmd|' /C calc'!A0",
    "@SUM(1+1)",
    "\t=1+1",
    "\r=1+1",
    "\n=1+1",
    "  =1+1",
    "\u00a0=1+1",
    "\x00=1+1",
    "\u200b=1+1",
    "\uff1d1+1",
    "-",
    "--1",
    "-1e5",
    "- 1",
    "-\u0661",
)
TEXTS = st.text(alphabet=st.characters(), max_size=40) | st.builds(
    str.__add__, st.sampled_from(("", " ", "\x00", "\u200b", "\ufeff")), st.sampled_from(ATTACKS)
)
CELLS = st.lists(TEXTS, min_size=3, max_size=3)


def _table(rows: Sequence[Sequence[Any]]) -> Table:
    return Table("orders", ("line", "=item", "amount"), rows)


def _read_csv(file: Path) -> list[list[str]]:
    with file.open(encoding="utf-8-sig", newline="") as opened:
        return list(csv.reader(opened, strict=True))


def _read_xlsx(file: Path, sheet: str = "orders") -> list[list[Any]]:
    return [list(row) for row in openpyxl.load_workbook(file)[sheet].iter_rows()]


def _begins_like_a_formula(text: str) -> bool:
    number = text[1:].replace(".", "", 1)
    plain = text.startswith("-") and number.isascii() and number.isdecimal()
    return not plain and text.lstrip().startswith(BEGINNINGS)


@pytest.mark.parametrize("text", ATTACKS)
def test_a_text_that_begins_like_a_formula_gets_an_apostrophe_before_it(text: str) -> None:
    assert harmless(text) == f"'{printable(text)}"


@pytest.mark.parametrize("text", ["-1", "-1234.50", "0.00", "12", "a=1", "M12", "", "1/2-13", "'=1", "100 %"])
def test_plain_texts_and_plain_negative_numbers_are_left_alone(text: str) -> None:
    assert harmless(text) == text


@given(TEXTS)
def test_no_text_is_left_that_begins_like_a_formula(text: str) -> None:
    assert not _begins_like_a_formula(harmless(text))


@settings(max_examples=30)
@given(rows=st.lists(CELLS, max_size=4))
def test_no_cell_of_a_csv_begins_like_a_formula_and_none_is_lost(
    rows: list[list[str]], tmp_path_factory: pytest.TempPathFactory
) -> None:
    file = tmp_path_factory.mktemp("csv") / "out.csv"
    write_csv(file, _table(rows))
    read = _read_csv(file)
    assert [len(row) for row in read] == [3] * (len(rows) + 1)
    assert not [cell for row in read for cell in row if _begins_like_a_formula(cell)]
    assert read[1:] == [[harmless(cell) for cell in row] for row in rows]


@settings(max_examples=30)
@given(rows=st.lists(CELLS, max_size=4))
def test_no_cell_of_an_xlsx_is_a_formula_and_none_is_lost(
    rows: list[list[str]], tmp_path_factory: pytest.TempPathFactory
) -> None:
    file = tmp_path_factory.mktemp("xlsx") / "out.xlsx"
    xlsx_writer()(file, [_table(rows)])
    with zipfile.ZipFile(file) as parts:
        assert b"<f>" not in parts.read("xl/worksheets/sheet1.xml")
    read = _read_xlsx(file)[1:]
    assert [[cell.value or "" for cell in row] for row in read] == [[harmless(cell) for cell in row] for row in rows]
    assert {cell.data_type for row in read for cell in row if cell.value is not None} <= {"s"}


def test_amounts_are_numbers_in_both_and_keep_every_decimal(tmp_path: Path) -> None:
    rows = [(2, "holes", Decimal("-1234.50")), (3, "-12", Decimal(0)), (4, "", "")]
    write_csv(tmp_path / "out.csv", _table(rows))
    assert _read_csv(tmp_path / "out.csv")[1:] == [["2", "holes", "-1234.50"], ["3", "-12", "0"], ["4", "", ""]]
    xlsx_writer()(tmp_path / "out.xlsx", [_table(rows)])
    header, first, second, third = _read_xlsx(tmp_path / "out.xlsx")
    assert [cell.value for cell in header] == ["line", "'=item", "amount"]
    assert all(cell.font.bold for cell in header)
    assert (first[0].data_type, first[0].value, first[2].data_type, first[2].value) == ("n", 2, "n", -1234.5)
    assert (first[2].number_format, second[2].number_format) == ("#,##0.00", "#,##0")
    assert not third[2].value


def test_a_csv_is_marked_as_utf_8_and_ends_its_lines_as_the_format_says(tmp_path: Path) -> None:
    # RFC 4180, section 2: lines end with CRLF.
    write_csv(tmp_path / "out.csv", Table("", ("gr\u00f6\u00dfe",), [("\u677f",)]))
    assert (tmp_path / "out.csv").read_bytes() == "\ufeffgr\u00f6\u00dfe\r\n\u677f\r\n".encode()


def test_each_table_is_a_sheet_with_its_header_in_sight(tmp_path: Path) -> None:
    wide = Table("modules", tuple(f"module {number}" for number in range(40)), [tuple(range(40)), ("x" * 300,) * 40])
    xlsx_writer()(tmp_path / "out.xlsx", [wide, _table([])])
    book = openpyxl.load_workbook(tmp_path / "out.xlsx")
    assert book.sheetnames == ["modules", "orders"]
    assert {sheet.freeze_panes for sheet in book} == {"A2"}
    assert book["modules"]["AN1"].value == "module 39"
    assert book["modules"].column_dimensions["AN"].width == 60


def test_what_is_longer_than_a_sheet_goes_on_in_another(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tables, "MAX_ROWS", 3)
    xlsx_writer()(tmp_path / "out.xlsx", [_table([(line, "", "") for line in range(7)])])
    titles = ("orders", "orders 2", "orders 3")
    read = [[row[0].value for row in _read_xlsx(tmp_path / "out.xlsx", title)] for title in titles]
    assert read == [["line", 0, 1, 2], ["line", 3, 4, 5], ["line", 6]]


def test_without_its_optional_part_xlsx_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "openpyxl", None)
    with pytest.raises(ImportError, match=r"pip install tallyplate\[sheets\]"):
        xlsx_writer()
