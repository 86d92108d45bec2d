"""Files that are no card's workbook, or mean harm: refused with the reason, within bounds, and never obeyed."""

import sys
from io import BytesIO
from typing import Any
from zipfile import ZIP_DEFLATED, ZipFile

import pytest

from tallyplate.rates import sheet_import
from tallyplate.rates.files import DataError
from tallyplate.rates.sheet import Row
from tallyplate.rates.sheet_export import workbook
from tests.rates.sheets import DEMO, exported, loaded, read, stated

GOOD = exported(DEMO)
SHEET = "xl/worksheets/sheet1.xml"


def _parts() -> dict[str, bytes]:
    with ZipFile(BytesIO(GOOD)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def _packed(changes: dict[str, bytes]) -> bytes:
    """The good workbook with some of its parts changed or added."""
    packed = BytesIO()
    with ZipFile(packed, "w", ZIP_DEFLATED) as archive:
        for name, content in (_parts() | changes).items():
            archive.writestr(name, content)
    return packed.getvalue()


def _replaced(part: str, old: str, new: str) -> dict[str, bytes]:
    text = _parts()[part].decode()
    assert old in text
    return {part: text.replace(old, new, 1).encode()}


def _problem(content: bytes) -> str:
    with pytest.raises(DataError) as raised:
        read(content)
    (problem,) = raised.value.problems
    return problem


BOMB = '<!DOCTYPE a [<!ENTITY b "bbbbbbbbbb"><!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;">]>'


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "cannot be read as an XLSX workbook (BadZipFile: "),
        (b"section;key;figure\n", "cannot be read as an XLSX workbook (BadZipFile: "),
        (bytes.fromhex("d0cf11e0a1b11ae1") + bytes(600), "cannot be read as an XLSX workbook (BadZipFile: "),
        (GOOD[: len(GOOD) // 2], "cannot be read as an XLSX workbook (BadZipFile: "),
        (_packed({"[Content_Types].xml": b""}), "cannot be read as an XLSX workbook ("),
        (_packed({SHEET: b"<worksheet>"}), "cannot be read as an XLSX workbook ("),
        (
            _packed(_replaced(SHEET, "<worksheet ", f"{BOMB}<worksheet ")),
            "cannot be read as an XLSX workbook (Entities",
        ),
        (_packed({"xl/vbaProject.bin": b"Sub"}), "has macros; accepted: a workbook without, saved as .xlsx"),
        (_packed({"xl/media/a.png": bytes(50_000_001)}), "unpacks to 50"),
        (bytes(5_000_001), "is too large; accepted: at most 5000000 bytes"),
        (
            _packed(_replaced(SHEET, '<row r="9">', '<row r="20000">')),
            "row 20000: is beyond the last that is read",
        ),
        (_packed(_replaced(SHEET, '<row r="9">', '<row r="9999999">')), "row 1048577: is beyond the last"),
    ],
    ids=[
        "empty",
        "csv",
        "xls",
        "half",
        "parts",
        "xml",
        "entities",
        "macros",
        "unpacked",
        "bytes",
        "rows",
        "no such row",
    ],
)
def test_a_file_that_is_no_cards_workbook_is_refused_with_the_reason(content: bytes, says: str) -> None:
    problem = _problem(content)
    assert problem.startswith(f"card.xlsx: {says}")


def test_rows_far_below_that_hold_nothing_do_not_count() -> None:
    last = '<row r="1048576" spans="1:6"><c r="A1048576" s="1"/></row></sheetData>'
    assert read(_packed(_replaced(SHEET, "</sheetData>", last))).card.digest == loaded(DEMO).digest


def test_the_size_that_a_sheet_claims_does_not_count() -> None:
    claimed = _replaced(SHEET, f'<dimension ref="A1:F{len(stated(DEMO)) + 1}"', '<dimension ref="A1:B2"')
    assert read(_packed(claimed)).card.digest == loaded(DEMO).digest


def test_a_link_to_another_file_is_not_followed() -> None:
    link = '<externalReferences><externalReference r:id="rId99"/></externalReferences></workbook>'
    book = _replaced("xl/workbook.xml", "</workbook>", link)
    kind = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/externalLink"
    relation = f'<Relationship Id="rId99" Type="{kind}" Target="externalLinks/1.xml"/></Relationships>'
    book |= _replaced("xl/_rels/workbook.xml.rels", "</Relationships>", relation)
    # What would be followed is not even XML, so that reading it would fail.
    assert read(_packed(book | {"xl/externalLinks/1.xml": b"file:///etc"})).card.digest == loaded(DEMO).digest


def _rows(count: int, **fields: Any) -> list[Row]:
    row: dict[str, Any] = {"section": "a", "key": "b", "figure": 1, "unit": "", "comment": "", "origin": ""}
    return [Row(**(row | fields))] * count


@pytest.mark.parametrize(
    ("rows", "says"),
    [
        (_rows(10_000), "10000 rows; accepted: at most 9999"),
        (_rows(1, comment="x" * 32_767), "row 2: 'xxx"),
        (_rows(1, comment="x" * 32_767), "has 32767 characters; accepted: fewer than 32767"),
        (_rows(1, figure="bell \a"), r"row 2: 'bell \x07' holds '\x07', which a sheet cannot hold"),
        (_rows(1, key="two\rlines"), r"row 2: 'two\rlines' holds '\r', which a sheet cannot hold"),
        (_rows(1, unit="_x0041_"), "row 2: '_x0041_' holds '_x0041_', which a sheet cannot hold"),
    ],
    ids=["rows", "long", "length", "control", "return", "escape"],
)
def test_what_a_sheet_cannot_hold_is_refused_rather_than_changed(rows: list[Row], says: str) -> None:
    with pytest.raises(DataError) as raised:
        workbook(rows)
    assert says in str(raised.value)


def test_a_card_that_would_be_too_large_to_load_is_not_made(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sheet_import, "MAX_BYTES", 1000)
    assert _problem(GOOD).startswith("card.xlsx: makes a card of ")
    assert _problem(GOOD).endswith(" bytes; accepted: at most 1000")


def test_without_the_optional_library_the_message_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "openpyxl", None)
    for convert in (lambda: read(GOOD), lambda: exported(DEMO)):
        with pytest.raises(DataError, match=r"install tallyplate\[sheets\]"):
            convert()


def test_what_a_spreadsheet_knows_and_the_library_does_not_is_passed_over_in_silence() -> None:
    # Spreadsheets write such extensions for the newer kinds of conditional formats; the library warns of them.
    extension = '<extLst><ext uri="{78C0D931-6437-407d-A8EE-F0AAD7539E65}"/></extLst></worksheet>'
    assert read(_packed(_replaced(SHEET, "</worksheet>", extension))).card.digest == loaded(DEMO).digest
