"""A signed quote as a document, by media type: a page, paper, XML for an ERP, or flat lines."""

from collections.abc import Mapping
from functools import cache
from importlib.util import find_spec
from typing import Final

from msgspec import Struct

from tallyplate.contract import CostModule
from tallyplate.documents.quote_lines import quote_lines
from tallyplate.documents.quote_options import SheetOptions
from tallyplate.documents.quote_ubl import quote_ubl
from tallyplate.documents.streams import csv_pieces
from tallyplate.http.bodies import JSON
from tallyplate.http.conditional import tag_of
from tallyplate.http.negotiation import headers
from tallyplate.quoting import Quoted

HTML: Final = "text/html"
PDF: Final = "application/pdf"
XML: Final = "application/xml"
CSV: Final = "text/csv"

SUFFIXES: Final = {HTML: "html", PDF: "pdf", XML: "xml", CSV: "csv"}

STILL: Final = {
    "content-security-policy": "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'",
}
"""A sheet loads nothing and runs nothing, whatever stands in it."""


class Document(Struct, frozen=True):
    """A document and the headers that go with it."""

    content: bytes
    media_type: str
    headers: dict[str, str]


@cache
def offered() -> tuple[str, ...]:
    """The formats of this service, JSON first: pages and paper where the parts that make them are installed."""
    page = (HTML,) if find_spec("jinja2") and find_spec("babel") else ()
    paper = (PDF,) if page and find_spec("font_source_sans_pro") and _draws() else ()
    return (JSON, *page, *paper, XML, CSV)


def _draws() -> bool:
    """Whether WeasyPrint is here, and the libraries of the system that it draws with."""
    try:
        import weasyprint  # noqa: F401, PLC0415 - it may be absent
    except (ImportError, OSError):
        return False
    return True


def document(
    made: Quoted, token: str, media_type: str, options: SheetOptions, modules: Mapping[str, CostModule]
) -> Document:
    """A quote as one of the formats but JSON. Equal tags are equal bytes."""
    if media_type == XML:
        content = quote_ubl(made.quote, token)
    elif media_type == CSV:
        content = b"".join(csv_pieces(quote_lines(made.quote)))
    else:
        page = _page(made, options, modules)
        content = _paper(page, made, token) if media_type == PDF else page.encode()
    stem = f"quotation-{made.quote.number}{'-inside' * (options.form == 'inside')}"
    said = headers(stem, SUFFIXES[media_type], tag_of(content), inline=media_type in {HTML, PDF})
    return Document(content, media_type, said | STILL if media_type == HTML else said)


def _page(made: Quoted, options: SheetOptions, modules: Mapping[str, CostModule]) -> str:
    from tallyplate.documents.quote_inside import inside  # noqa: PLC0415 - what it needs may be absent
    from tallyplate.documents.quote_sheet import Plates, quote_sheet  # noqa: PLC0415 - likewise

    settled = made.said.override
    why = (settled.by, settled.why) if settled else ()
    within = inside(made.quote, made.price, modules, *why) if options.form == "inside" else None
    return quote_sheet(made.quote, Plates(made.builds, made.shop), options, within)


def _paper(page: str, made: Quoted, token: str) -> bytes:
    from tallyplate.documents.quote_pdf import quote_pdf  # noqa: PLC0415 - likewise

    return quote_pdf(page, made.quote, token)
