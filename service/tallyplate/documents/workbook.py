"""Tables of any length as a workbook, sent while it is made: a thousand rows are held at once, whatever follows.

The parts and elements are those that ECMA-376 asks for: Part 1 (SpreadsheetML; clauses beside each), and Part 2 for the
package. Its annex on ZIP (table B.5, flag bit 3) lets sizes follow the data, which is what lets a package be streamed.
A cell's text is an inline string, so that no reader takes it for a formula. Nothing holds a time: equal rows, equal
bytes.
"""

import io
import re
from collections.abc import Iterable, Iterator
from functools import lru_cache
from itertools import islice
from typing import Final
from xml.sax.saxutils import escape, quoteattr
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from tallyplate.contract import letters
from tallyplate.documents.streams import ROWS, Rows
from tallyplate.documents.tables import Cell, as_text, harmless

HEAD: Final = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
SHEETS: Final = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
LINKS: Final = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE: Final = "http://schemas.openxmlformats.org/package/2006"
MEDIA: Final = "application/vnd.openxmlformats-officedocument.spreadsheetml."

STYLES: Final = (
    f'<styleSheet xmlns="{SHEETS}">'
    '<fonts count="2"><font><sz val="11"/></font><font><b/><sz val="11"/></font></fonts>'
    '<fills count="2"><fill><patternFill patternType="none"/></fill>'
    '<fill><patternFill patternType="gray125"/></fill></fills>'
    '<borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders>'
    '<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>'
    '<cellXfs count="2"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/>'
    '<xf numFmtId="0" fontId="1" fillId="0" borderId="0" xfId="0" applyFont="1"/></cellXfs>'
    '<cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles>'
    "</styleSheet>"
)
"""Clause 18.8: format 0 is plain and 1 is bold; the first two fills are set by the format."""

BOLD: Final = ' s="1"'

_CODED = re.compile("_(?=x[0-9A-Fa-f]{4}_)")
"""What readers would take for the code of a sign (clause 22.9.2.19)."""


class _Outlet(io.RawIOBase):
    """What a package is written to: it cannot be sought in, and what was written is taken out in pieces."""

    def __init__(self) -> None:
        super().__init__()
        self._written = bytearray()

    def writable(self) -> bool:
        return True

    def write(self, piece: bytes, /) -> int:  # type: ignore[override]
        self._written += piece
        return len(piece)

    def taken(self) -> bytes:
        piece = bytes(self._written)
        self._written.clear()
        return piece


def xlsx_pieces(tables: Iterable[Rows]) -> Iterator[bytes]:
    """A workbook with a sheet a table, whose first row is bold and stays in sight."""
    outlet, sheets = _Outlet(), tuple(tables)
    with ZipFile(outlet, "w") as package:
        for name, text in _fixed([sheet.title for sheet in sheets]).items():
            package.writestr(_part(name), HEAD + text)
        for number, sheet in enumerate(sheets, start=1):
            with package.open(_part(f"xl/worksheets/sheet{number}.xml"), "w") as part:
                for piece in _sheet(sheet):
                    part.write(piece)
                    if made := outlet.taken():
                        yield made
    yield outlet.taken()


def _part(name: str) -> ZipInfo:
    """A part of the package, dated as ZIP's first day and by no particular system."""
    part = ZipInfo(name)
    part.compress_type, part.create_system = ZIP_DEFLATED, 0
    return part


def _fixed(titles: list[str]) -> dict[str, str]:
    """Every part but the sheets: types of parts, what belongs to what, the sheets by title (18.2.19), the formats."""
    numbered = list(enumerate(titles, start=1))
    types = "".join(
        f'<Override PartName="/xl/{name}.xml" ContentType="{MEDIA}{kind}+xml"/>'
        for name, kind in [
            ("workbook", "sheet.main"),
            ("styles", "styles"),
            *((f"worksheets/sheet{n}", "worksheet") for n, _ in numbered),
        ]
    )
    links = "".join(_link(n, "worksheet", f"worksheets/sheet{n}.xml") for n, _ in numbered)
    sheets = "".join(f'<sheet name={quoteattr(title)} sheetId="{n}" r:id="rId{n}"/>' for n, title in numbered)
    relations = f'<Relationships xmlns="{PACKAGE}/relationships">{{}}</Relationships>'
    return {
        "[Content_Types].xml": f'<Types xmlns="{PACKAGE}/content-types">'
        '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        f'<Default Extension="xml" ContentType="application/xml"/>{types}</Types>',
        "_rels/.rels": relations.format(_link(1, "officeDocument", "xl/workbook.xml")),
        "xl/workbook.xml": f'<workbook xmlns="{SHEETS}" xmlns:r="{LINKS}"><sheets>{sheets}</sheets></workbook>',
        "xl/_rels/workbook.xml.rels": relations.format(links + _link(len(titles) + 1, "styles", "styles.xml")),
        "xl/styles.xml": STYLES,
    }


def _link(number: int, kind: str, target: str) -> str:
    return f'<Relationship Id="rId{number}" Type="{LINKS}/{kind}" Target="{target}"/>'


def _sheet(table: Rows) -> Iterator[bytes]:
    """A sheet in pieces (18.3.1.99): the first row stays in sight, then widths of columns in signs, then the rows."""
    columns = [letters(number) for number, _ in enumerate(table.columns, start=1)]
    widths = "".join(
        f'<col min="{n}" max="{n}" width="{wide}" customWidth="1"/>'
        for n, (_, wide) in enumerate(table.columns, start=1)
    )
    yield (
        f'{HEAD}<worksheet xmlns="{SHEETS}"><sheetViews><sheetView workbookViewId="0">'
        '<pane ySplit="1" topLeftCell="A2" activePane="bottomLeft" state="frozen"/></sheetView></sheetViews>'
        f"<cols>{widths}</cols><sheetData>{_row(1, columns, [name for name, _ in table.columns], BOLD)}"
    ).encode()
    rows = enumerate(table.rows, start=2)
    while chunk := list(islice(rows, ROWS)):
        yield "".join([_row(number, columns, row) for number, row in chunk]).encode()
    yield b"</sheetData></worksheet>"


def _row(number: int, columns: Iterable[str], cells: Iterable[Cell], style: str = "") -> str:
    """A row of cells (18.3.1.73, 18.3.1.4); what is empty is left out."""
    made = [
        f'<c r="{column}{number}"{style} {_text(cell) if isinstance(cell, str) else f"><v>{as_text(cell)}</v>"}</c>'
        for column, cell in zip(columns, cells, strict=True)
        if cell != ""
    ]
    return f'<row r="{number}">{"".join(made)}</row>'


@lru_cache(maxsize=1024)
def _text(text: str) -> str:
    """The rest of a cell that holds a text; remembered, since rows repeat their words."""
    return f't="inlineStr"><is><t>{escape(_CODED.sub("_x005F_", harmless(text)))}</t></is>'
