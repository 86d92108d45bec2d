"""Words that try to be more than words, sent through the whole service into every format that it writes."""

import csv
import io
import json
import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx
import openpyxl
import pytest
from ezdxf.filemanagement import read as read_dxf
from lxml import etree, html
from pypdf import PdfReader
from pypdf.generic import DictionaryObject, IndirectObject

from tallyplate.cli.main import main
from tallyplate.http.app import create_app
from tests.plates import installation
from tests.quote.quotes import KEYS
from tests.serving import Ask, asking, serving

PLATE = {"family": "rectangular", "length": "200 mm", "width": "150 mm", "material": "al-6061-t6"}

HOSTILE = (
    '<script>alert(1)</script>', '"><img src=x onerror=alert(1)>', "{{ 7 * 7 }}{% include '/etc/passwd' %}",
    "]]><!DOCTYPE x [<!ENTITY e SYSTEM 'file:///etc/passwd'>]>&e;", "=HYPERLINK(\"http://evil.example\",\"x\")",
    "+1+cmd|' /C calc'!A0", "-2+3", "@SUM(A1)", "%p%n%s \\P \\S1^2; {\\fArial;x} %%c", "a\\U+0041 ^J ^M",
    "</style><style>*{display:none}</style>", "javascript:alert(1)", "\u202egnp.exe", "x" * 60, "&#x41;&amp;&lt;",
    "url(http://evil.example/x)", ") Tj /JS (app.alert(1)) (",
)  # fmt: skip
"""Each at most as long as a name may be, and free of control characters, which are refused at the door."""

PLAIN = "Brackwater Valve"


@pytest.fixture(scope="module")
def ask() -> Ask:
    return asking(create_app(installation(), quote_keys=KEYS))


def _quoted(ask: Ask, media_type: str, words: str) -> httpx.Response:
    customer = {"name": words, "address": [words, words], "country": "US"}
    said = {"customer": customer, "reference": words, "note": words}
    override = {"total": "900.00 USD", "by": words, "why": words}
    sheet = {"form": "inside"} if media_type == "text/html" else {}
    body = {"plate": PLATE, "quote": {**said, "override": override}, "sheet": sheet}
    response = ask("POST", "/v1/quotes", json=body, headers={"accept": media_type})
    assert response.status_code == 200, response.text
    return response


def _drawn(ask: Ask, path: str, media_type: str, words: str, **options: Any) -> httpx.Response:
    named = {"drawing": {"title": words}} if path == "/v1/drawings" else {}
    response = ask("POST", path, json={"plate": PLATE, **named, **options}, headers={"accept": media_type})
    assert response.status_code == 200, response.text
    return response


@pytest.fixture(scope="module")
def plain(ask: Ask) -> dict[str, httpx.Response]:
    """Each format with plain words in it."""
    quoted = {kind: _quoted(ask, kind, PLAIN) for kind in ("text/html", "application/xml", "text/csv")}
    return quoted | {kind: _drawn(ask, "/v1/drawings", kind, PLAIN) for kind in ("image/svg+xml", "image/vnd.dxf")}


def _shape(root: Any) -> Counter[tuple[str, tuple[str, ...]]]:
    """Elements by name and attributes: what words could add to only by being markup."""
    return Counter((str(element.tag), tuple(sorted(element.attrib))) for element in root.iter())


@pytest.mark.parametrize("words", HOSTILE)
def test_a_page_has_the_elements_that_it_has_for_plain_words(
    ask: Ask, plain: dict[str, httpx.Response], words: str
) -> None:
    page = html.fromstring(_quoted(ask, "text/html", words).text)
    assert _shape(page) == _shape(html.fromstring(plain["text/html"].text))
    assert not page.xpath("//script | //*[@src and not(starts-with(@src, 'data:'))]")


@pytest.mark.parametrize("words", HOSTILE)
def test_a_quotation_in_xml_has_the_elements_that_it_has_for_plain_words(
    ask: Ask, plain: dict[str, httpx.Response], words: str
) -> None:
    strict = etree.XMLParser(resolve_entities=False, no_network=True)
    found = etree.fromstring(_quoted(ask, "application/xml", words).content, strict)
    assert _shape(found) == _shape(etree.fromstring(plain["application/xml"].content, strict))
    assert found.getroottree().docinfo.internalDTD is None


@pytest.mark.parametrize("words", HOSTILE)
def test_lines_have_the_rows_that_they_have_for_plain_words_and_no_formula(
    ask: Ask, plain: dict[str, httpx.Response], words: str
) -> None:
    rows, usual = (
        list(csv.reader(io.StringIO(response.text, newline="")))
        for response in (_quoted(ask, "text/csv", words), plain["text/csv"])
    )
    assert [len(row) for row in rows] == [len(row) for row in usual]
    for row in rows:
        for cell in row:
            assert not re.match(r"[=+@\t\r]|-[^0-9]", cell), cell


@pytest.mark.parametrize("words", HOSTILE[:6])
def test_a_pdf_acts_on_nothing(ask: Ask, words: str) -> None:
    reader = PdfReader(io.BytesIO(_quoted(ask, "application/pdf", words).content))
    for key in _keys(reader.trailer["/Root"], set()):
        assert key not in {"/JS", "/JavaScript", "/Launch", "/URI", "/AA", "/OpenAction", "/SubmitForm", "/RichMedia"}


def _keys(value: Any, seen: set[int]) -> Iterator[str]:
    if isinstance(value, IndirectObject):
        if value.idnum in seen:
            return
        seen.add(value.idnum)
        value = value.get_object()
    if isinstance(value, DictionaryObject):
        for key in value:
            yield str(key)
            yield from _keys(value.raw_get(key), seen)
    elif isinstance(value, list):
        for item in value:
            yield from _keys(item, seen)


@pytest.mark.parametrize("words", HOSTILE)
def test_a_drawing_has_no_element_or_entity_of_a_strangers(
    ask: Ask, plain: dict[str, httpx.Response], words: str
) -> None:
    svg, usual = (
        etree.fromstring(response.content)
        for response in (_drawn(ask, "/v1/drawings", "image/svg+xml", words), plain["image/svg+xml"])
    )
    # Longer words are broken into more lines of text, and that is all that they may add.
    extra = _shape(svg) - _shape(usual)
    assert {re.sub(r"\{.*\}", "", tag) for tag, _ in extra} <= {"text", "tspan"}
    dxf, plain_dxf = (
        read_dxf(io.StringIO(response.content.decode("utf-8")))
        for response in (_drawn(ask, "/v1/drawings", "image/vnd.dxf", words), plain["image/vnd.dxf"])
    )
    assert not dxf.audit().errors
    assert {one.dxftype() for one in dxf.modelspace()} == {one.dxftype() for one in plain_dxf.modelspace()}


def test_no_cell_of_a_schedule_is_a_formula(ask: Ask) -> None:
    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
    book = openpyxl.load_workbook(io.BytesIO(_drawn(ask, "/v1/hole-schedules", kind, "").content))
    assert {cell.data_type for sheet in book for row in sheet.iter_rows() for cell in row} <= {"s", "n", "inlineStr"}


@pytest.mark.parametrize("words", [*HOSTILE, "a\r\nset-cookie: x=1", "\u2028\u2029"])
def test_no_header_is_of_a_strangers_making(ask: Ask, words: str) -> None:
    body = {"plate": PLATE, "quote": {"customer": {"name": words[:60]}, "reference": words[:60]}}
    headers = {"accept": "text/csv", "traceparent": words.encode("latin-1", "replace")}
    response = ask("POST", "/v1/quotes", json=body, headers=headers)
    assert "set-cookie" not in response.headers
    assert all(re.fullmatch(r"[\x20-\x7e]*", value) for value in response.headers.values())
    if response.status_code == 200:
        name = r'attachment; filename="quotation-q-[0-9a-z-]+\.csv"'
        assert re.fullmatch(name, response.headers["content-disposition"])


@pytest.mark.parametrize(
    "body",
    [
        b"{", b"\xff", b"[" * 5000, b"null", b'{"plate": {"family": "../../etc/passwd"}}', b'{"plate": 7}',
        b'{"plate": {"family": "rectangular", "length": "9**9**9 in"}}', b'{"a": 1, "a": 2}', b"NaN",
        b'{"plate": {"family": "rectangular", "length": "1e999999999 mm", "width": "-1 mm", "material": "x"}}',
    ],
)  # fmt: skip
@pytest.mark.parametrize("path", ["/v1/prices", "/v1/quotes", "/v1/questions", "/v1/alternatives", "/v1/drawings"])
def test_a_refusal_tells_no_path_no_code_and_no_figure_of_the_house(ask: Ask, path: str, body: bytes) -> None:
    response = ask("POST", path, content=body, headers={"content-type": "application/json"})
    assert response.status_code in {200, 400, 422}
    if response.status_code != 200:
        assert not re.search(r"Traceback|site-packages|\.py\b|/home/|/work/|/usr/|Error\(|0x[0-9a-f]{6}", response.text)
        assert "96 USD/h" not in response.text


def test_whatever_is_sent_a_line_of_the_log_is_one_object(tmp_path: Path) -> None:
    keys, log = tmp_path / "quote-keys.json", tmp_path / "log"
    main(["quote", "key", "--out", str(keys)])
    sent = 0
    with serving(log=log, options=["--quote-keys", str(keys)]) as url, httpx.Client(base_url=url) as client:
        for words in (*HOSTILE, '", "level": "error', "a b"):
            said = {"customer": {"name": words}, "override": {"total": "900.00 USD", "by": words, "why": words}}
            assert client.post("/v1/quotes", json={"plate": PLATE, "quote": said}).status_code == 200
            client.get(f"/{words}", headers={b"user-agent": words.encode("latin-1", "replace")})
            sent += 2
    lines = [json.loads(line) for line in log.read_text().splitlines()]
    answered = [line for line in lines if line["event"] == "answered"]
    assert len([line for line in answered if line["route"] in {"/v1/quotes", "other"}]) == sent
    settled = [line["by"] for line in lines if line["event"] == "price settled"]
    assert settled[: len(HOSTILE)] == list(HOSTILE)
    assert {line["level"] for line in answered} == {"info"}
