"""The quote sheet on paper: one or two pages, the signed quote attached, the same bytes each time."""

from decimal import Decimal
from io import BytesIO
from typing import Any, cast

import pypdf
import pytest

from tallyplate.documents.quote_options import SheetOptions
from tallyplate.installation import Form
from tallyplate.quoting import Quoted, quote
from tests.documents.paper import ON_PAPER
from tests.documents.quote_examples import full, hostile, sheet, within
from tests.documents.test_quote_sheet import PLATES
from tests.plates import installation
from tests.quote.quotes import CUSTOMER, ISSUED, made, token

if not ON_PAPER:
    pytest.skip("needs Debian's libpango-1.0-0 and its like", allow_module_level=True)

from weasyprint import HTML
from weasyprint.urls import FatalURLFetchingError

from tallyplate.documents.quote_pdf import Shut, quote_pdf

MM = 72 / 25.4


def _pdf(quoted: Quoted, options: SheetOptions | None = None, *, inside: bool = False) -> bytes:
    page = sheet(quoted, options, within(quoted) if inside else None)
    return quote_pdf(page, quoted.quote, token(quoted.quote))


def _read(content: bytes) -> pypdf.PdfReader:
    return pypdf.PdfReader(BytesIO(content))


def _text(content: bytes) -> str:
    return "\n".join(page.extract_text() for page in _read(content).pages)


@pytest.fixture(scope="module")
def paper() -> bytes:
    return _pdf(full())


def test_a_sheet_that_says_everything_takes_two_pages_of_letter(paper: bytes) -> None:
    pages = _read(paper).pages
    assert len(pages) == 2
    assert [round(side) for side in pages[0].mediabox[2:]] == [612, 792]


def test_a_plain_sheet_takes_a_page_or_two_of_a4() -> None:
    pages = _read(_pdf(made(), SheetOptions(conventions="european"))).pages
    assert len(pages) <= 2
    assert [round(side / MM) for side in pages[0].mediabox[2:]] == [210, 297]


def test_what_binds_can_be_read_out_of_the_paper(paper: bytes) -> None:
    text = _text(paper)
    quote = full().quote
    for words in (quote.number, "Brackwater Valve", "4,200.00", "4,630.50", "April 1, 2026", "By road to Toledo"):
        assert words in text, words
    assert "1 / 2" in text
    assert "2 / 2" in text


def test_the_signed_quote_is_attached_to_the_letter(paper: bytes) -> None:
    quote = full().quote
    attached = _read(paper).attachments
    assert {name: [content.decode() for content in parts] for name, parts in attached.items()} == {
        f"{quote.number}.jws": [token(quote)]
    }


def test_the_same_sheet_is_the_same_bytes(paper: bytes) -> None:
    assert _pdf(full()) == paper


def test_its_title_author_and_language_are_told(paper: bytes) -> None:
    read: Any = _read(paper)
    assert read.metadata.title == f"Quotation {full().quote.number}"
    assert read.metadata.author == "Harrow & Pell Fixture Works"
    assert read.trailer["/Root"]["/Lang"] == "en"
    assert read.trailer["/Root"]["/MarkInfo"]["/Marked"]


def test_its_letters_are_those_that_came_with_it(paper: bytes) -> None:
    fonts = {
        str(font.get_object()["/BaseFont"])
        for page in _read(paper).pages
        for font in cast("Any", page)["/Resources"]["/Font"].values()
    }
    assert any("Source-Sans-Pro" in name.replace(" ", "-") for name in fonts), fonts


def test_the_house_gets_pages_more() -> None:
    content = _pdf(full(), inside=True)
    assert len(_read(content).pages) > 2
    assert "Inside: not for the customer" in _text(content)


def test_on_every_page_of_the_cost_its_head_stands_again_and_the_total_closes_the_last() -> None:
    plates = [{"plate": PLATES[name], "quantity": 2} for name in PLATES]
    quoted = quote({"plates": plates, "quote": {"customer": CUSTOMER}}, installation(), Form.INSIDE, ISSUED)
    cost = f"{Decimal(within(quoted).cost):,}"
    texts = [page.extract_text() for page in _read(_pdf(quoted, inside=True)).pages]
    first = next(place for place, text in enumerate(texts) if "Inside: not for the customer" in text)
    pages = texts[first:]
    assert len(pages) > 1
    assert [text.count("Basis") for text in pages] == [1] * len(pages)
    assert [text.count(cost) for text in pages] == [1, *[0] * (len(pages) - 2), 1]
    assert pages[-1].rindex(cost) > pages[-1].rindex("Overhead")


def test_texts_that_mean_harm_stay_texts_and_within_two_pages() -> None:
    content = _pdf(hostile())
    assert len(_read(content).pages) == 2
    assert "<script>alert(1)</" in _text(content)
    assert "root:" not in _text(content)


@pytest.mark.parametrize(
    "url", ["file:///etc/passwd", "http://127.0.0.1:9/x", "data:text/css,x", "face:../../x", "face:"]
)
def test_nothing_is_fetched(url: str) -> None:
    with pytest.raises(FatalURLFetchingError, match="loads nothing"):
        Shut().fetch(url)
    with pytest.raises(FatalURLFetchingError):
        HTML(string=f'<img src="{url}">', url_fetcher=Shut()).write_pdf()
