"""`POST /v1/quotes` by Accept: JSON, a page, paper, XML and flat lines of one and the same quote."""

from collections.abc import Iterator
from importlib.util import find_spec
from io import BytesIO
from typing import Any

import pypdf
import pytest

from tallyplate.http import quote_documents
from tallyplate.http.app import create_app
from tests.callers import customers
from tests.documents.paper import needs_paper
from tests.http.problem import problem
from tests.plates import installation
from tests.quote.quotes import KEYS, asked
from tests.serving import Ask, asking

PATH = "/v1/quotes"
KINDS = {
    "text/html": (b"<!doctype html>", "inline", "html"),
    "application/pdf": (b"%PDF-", "inline", "pdf"),
    "application/xml": (b"<?xml", "attachment", "xml"),
    "text/csv": (b"\xef\xbb\xbfquote,", "attachment", "csv"),
}


@pytest.fixture(scope="module")
def ask() -> Ask:
    return asking(create_app(installation(), None, KEYS))


@pytest.fixture(scope="module")
def outside() -> Ask:
    return asking(create_app(installation(), customers(), KEYS))


@pytest.fixture(autouse=True)
def _as_installed() -> Iterator[None]:
    yield
    quote_documents.offered.cache_clear()


def _got(ask: Ask, accept: str, body: dict[str, Any] | None = None) -> Any:
    return ask("POST", PATH, json=body or asked(), headers={"accept": accept})


@pytest.mark.parametrize(
    "kind", [pytest.param(kind, marks=[needs_paper] * (kind == "application/pdf")) for kind in KINDS]
)
def test_each_format_comes_with_its_name_its_tag_and_what_it_was_chosen_by(outside: Ask, kind: str) -> None:
    start, how, suffix = KINDS[kind]
    response = _got(outside, kind)
    assert response.status_code == 200, response.text
    assert response.headers["content-type"].split(";")[0] == kind
    assert response.content.startswith(start)
    number = outside("POST", PATH, json=asked()).json()["quote"]["number"].lower()
    assert response.headers["content-disposition"] == f'{how}; filename="quotation-{number}.{suffix}"'
    assert response.headers["vary"] == "Accept"
    assert response.headers["x-content-type-options"] == "nosniff"
    again = _got(outside, kind)
    assert (again.headers["etag"], again.content) == (response.headers["etag"], response.content)


def test_json_is_what_whoever_asks_for_nothing_gets(outside: Ask) -> None:
    for accept in ("*/*", "", "application/*", "text/html;q=0.5, application/json"):
        response = _got(outside, accept)
        assert response.headers["content-type"] == "application/json"
        assert response.headers["vary"] == "Accept"


def test_another_format_is_refused_with_those_on_offer(outside: Ask) -> None:
    problem(_got(outside, "image/png"), 406, "not-acceptable")
    detail = _got(outside, "image/png").json()["detail"]
    assert all(kind in detail for kind in ("application/json", *KINDS))


def test_a_page_can_load_and_run_nothing(outside: Ask) -> None:
    policy = _got(outside, "text/html").headers["content-security-policy"]
    assert policy == "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"


@needs_paper
def test_every_format_is_of_the_same_quote(outside: Ask) -> None:
    answer = outside("POST", PATH, json=asked()).json()
    number = answer["quote"]["number"]
    assert number in _got(outside, "text/html").text
    assert number in _got(outside, "application/xml").text
    assert number in _got(outside, "text/csv").text
    paper = pypdf.PdfReader(BytesIO(_got(outside, "application/pdf").content))
    assert paper.attachments[f"{number}.jws"] == [answer["token"].encode()]


def test_how_a_sheet_looks_changes_no_word_of_what_is_signed(outside: Ask) -> None:
    plain = outside("POST", PATH, json=asked()).json()["token"]
    european = asked() | {"sheet": {"conventions": "european", "unit": "in"}}
    assert outside("POST", PATH, json=european).json()["token"] == plain
    assert "4 604.20" in _got(outside, "text/html", european).text


def test_the_house_may_see_the_inside_and_customers_may_not(ask: Ask, outside: Ask) -> None:
    body = asked() | {"sheet": {"form": "inside"}}
    response = _got(ask, "text/html", body)
    assert "Inside: not for the customer" in response.text
    assert "-inside.html" in response.headers["content-disposition"]
    assert "Inside: not for the customer" not in _got(ask, "text/html").text
    assert problem(_got(outside, "text/html", body), 422, "invalid-request") == {
        "/sheet/form": "asks for the scope cost; accepted: outside"
    }


def test_faults_of_plate_quote_and_sheet_are_named_at_once(outside: Ask) -> None:
    body = asked({"x": 1}, {"/plate/length": "0 mm"}) | {"sheet": {"paper": "A5", "colour": "red"}}
    errors = problem(outside("POST", PATH, json=body), 422, "invalid-request")
    assert set(errors) >= {"/quote/x", "/plate/length", "/sheet/paper", "/sheet/colour"}


def test_a_service_without_the_parts_that_make_pages_offers_the_rest(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(quote_documents, "find_spec", lambda name: None if name == "jinja2" else find_spec(name))
    quote_documents.offered.cache_clear()
    bare = asking(create_app(installation(), customers(), KEYS))
    assert _got(bare, "text/csv").status_code == 200
    assert "text/html" not in _got(bare, "text/html").json()["detail"].partition("accepted")[2]


def test_a_service_without_the_systems_libraries_offers_all_but_paper(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(quote_documents, "_draws", lambda: False)
    quote_documents.offered.cache_clear()
    bare = asking(create_app(installation(), customers(), KEYS))
    assert _got(bare, "text/html").status_code == 200
    problem(_got(bare, "application/pdf"), 406, "not-acceptable")
