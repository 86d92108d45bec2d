"""Workbooks that are sent while they are made: what stands in them, and that two other readers find it there."""

import io
import re
import zipfile
from collections.abc import Iterator, Sequence
from decimal import Decimal
from itertools import islice
from pathlib import Path

import openpyxl
import pyogrio
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tallyplate.documents.measures import MEASURES
from tallyplate.documents.schedules.sheets import all_tables
from tallyplate.documents.streams import Rows
from tallyplate.documents.tables import Cell, harmless
from tallyplate.documents.workbook import xlsx_pieces
from tests.documents.plates import BASES, made, schedule
from tests.documents.test_tables import ATTACKS, TEXTS

COLUMNS = (("name", 14), ("=item", 20), ("amount", 8))


def _book(rows: Sequence[tuple[Cell, ...]], title: str = "Rows") -> bytes:
    return b"".join(xlsx_pieces([Rows(title, COLUMNS, rows)]))


def _part(book: bytes, name: str) -> bytes:
    with zipfile.ZipFile(io.BytesIO(book)) as package:
        assert package.testzip() is None
        return package.read(name)


@pytest.mark.parametrize("name", BASES)
def test_the_holes_of_a_workbook_are_those_of_the_json(name: str) -> None:
    one, listed = made(name), schedule(made(name))
    pieces = xlsx_pieces(all_tables(one.build, one.shop, one.inquiry.quantity, MEASURES["mm"]))
    book = openpyxl.load_workbook(io.BytesIO(b"".join(pieces)), read_only=True)
    rows = [row[:6] for row in book["Holes"].iter_rows(min_row=2, values_only=True)]
    assert rows == [
        (one["name"], one["face"], one["kind"], one["type"], float(one["x"]), float(one["y"]))
        for one in listed["holes"]
    ]
    counts = [row[0:4:3] for row in book["Types of hole"].iter_rows(min_row=2, values_only=True)]
    assert counts == [(one["type"], one["count"]) for one in listed["types"]]
    parts = [row[2::2] for row in book["Parts"].iter_rows(min_row=2, values_only=True)]
    assert parts == [(one["designation"], one["each"]) for one in listed["parts"]]


def test_gdal_reads_the_same_tables(tmp_path: Path) -> None:
    # GDAL's reader of XLSX is code of its own: https://gdal.org/en/stable/drivers/vector/xlsx.html
    one, file = made("alternating"), tmp_path / "holes.xlsx"
    file.write_bytes(b"".join(xlsx_pieces(all_tables(one.build, one.shop, 2, MEASURES["mm"]))))
    assert [name for name, _ in pyogrio.list_layers(file)] == ["Holes", "Types of hole", "Parts"]
    described, _, _, fields = pyogrio.raw.read(file, layer="Holes")
    columns = dict(zip(described["fields"], fields, strict=True))
    holes = schedule(one)["holes"]
    assert columns["name"].tolist() == [hole["name"] for hole in holes]
    assert columns["x mm"].tolist() == [float(hole["x"]) for hole in holes]


def test_the_first_row_is_bold_and_stays_in_sight_and_columns_have_their_widths() -> None:
    sheet = openpyxl.load_workbook(io.BytesIO(_book([("A1", "b", 1)])))["Rows"]
    assert sheet.freeze_panes == "A2"
    assert [cell.font.bold for cell in sheet[1]] == [True] * 3
    assert [cell.font.bold for cell in sheet[2]] == [False] * 3
    assert [sheet.column_dimensions[letter].width for letter in "ABC"] == [14, 20, 8]


@settings(max_examples=40)
@given(st.lists(st.tuples(TEXTS, TEXTS, TEXTS), max_size=4))
def test_texts_stay_texts_and_none_is_a_formula(rows: list[tuple[Cell, ...]]) -> None:
    book = _book(rows)
    assert b"<f" not in _part(book, "xl/worksheets/sheet1.xml")
    sheet = openpyxl.load_workbook(io.BytesIO(book))["Rows"]
    read = [row + (None,) * (3 - len(row)) for row in sheet.iter_rows(min_row=2, values_only=True)]
    told = [tuple(harmless(str(cell)) for cell in row) for row in rows]
    # Rows of nothing at the end are no rows to a reader.
    assert [tuple(cell or "" for cell in row) for row in read] == told[: len(read)]
    assert not any(cell for row in told[len(read) :] for cell in row)
    assert {cell.data_type for row in sheet.iter_rows() for cell in row if cell.value} <= {"s", "inlineStr"}


@pytest.mark.parametrize("text", ATTACKS)
def test_what_begins_like_a_formula_is_a_text(text: str) -> None:
    cell = openpyxl.load_workbook(io.BytesIO(_book([(text, "", 0)])))["Rows"]["A2"]
    assert cell.data_type != "f"
    assert cell.value == harmless(text)


def test_figures_keep_every_decimal_and_have_no_exponent() -> None:
    rows = [("a", -12, Decimal("0.00000012")), ("b", 0, Decimal("123456789.5000"))]
    sheet = _part(_book(rows), "xl/worksheets/sheet1.xml").decode()
    assert re.findall("<v>(.*?)</v>", sheet) == ["-12", "0.00000012", "0", "123456789.5000"]


def test_a_text_that_looks_like_a_coded_sign_keeps_its_letters() -> None:
    # ECMA-376 Part 1, 22.9.2.19 (from memory): _xHHHH_ stands for a sign, and _x005F_ for the underscore itself.
    sheet = _part(_book([("_x0041_", "_xyz_", 1)]), "xl/worksheets/sheet1.xml").decode()
    assert re.findall("<t>(.*?)</t>", sheet)[3:] == ["_x005F_x0041_", "_xyz_"]


def test_a_title_with_signs_of_xml_is_the_title() -> None:
    assert openpyxl.load_workbook(io.BytesIO(_book([], 'A & "B" < C'))).sheetnames == ['A & "B" < C']


def test_the_first_bytes_come_before_the_rows_are_made() -> None:
    asked = 0

    def rows() -> Iterator[tuple[Cell, ...]]:
        nonlocal asked
        for asked in range(5000):
            yield "a", "b", asked

    pieces = xlsx_pieces([Rows("Rows", COLUMNS, rows())])
    assert next(pieces).startswith(b"PK")
    assert asked == 0
    assert len(list(islice(pieces, 2))) == 2
    assert asked < 5000
