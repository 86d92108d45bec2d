"""Conditional requests as RFC 9110 has them: 304 for what is shown, 412 for documents that are made, refusals first."""

from types import SimpleNamespace
from typing import Any

import pytest
from litestar import Response
from litestar.datastructures import Headers

from tallyplate.http.app import create_app
from tallyplate.http.conditional import PreconditionFailed, hold, revalidated, tag_of
from tallyplate.http.quotes import KEY_SET
from tests.documents.plates import BASES
from tests.http.problem import problem
from tests.plates import installation, request
from tests.quote.quotes import KEYS, asked
from tests.serving import Ask, asking

SHOWN = ["/v1/families", "/v1/materials", "/v1/rate-cards", "/v1/shop-data", "/openapi.json"]
SVG, DXF, CSV = "image/svg+xml", "image/vnd.dxf", "text/csv"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
MADE = [("/v1/drawings", SVG), ("/v1/drawings", DXF), ("/v1/hole-schedules", CSV), ("/v1/hole-schedules", XLSX)]


@pytest.mark.parametrize("path", SHOWN)
@pytest.mark.parametrize("method", ["GET", "HEAD"])
def test_what_the_caller_has_already_is_not_sent_again(ask: Ask, path: str, method: str) -> None:
    first = ask("GET", path)
    assert first.status_code == 200
    assert first.headers["cache-control"] == "no-cache"
    again = ask(method, path, headers={"if-none-match": first.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")
    # RFC 9110, section 15.4.5: the tag and the caching of the 200; a length would have to be that of the 200.
    assert (again.headers["etag"], again.headers["cache-control"]) == (first.headers["etag"], "no-cache")
    assert "content-length" not in again.headers
    assert ask("GET", path, headers={"if-none-match": '"another"'}).content == first.content


@pytest.mark.parametrize(("path", "accept"), MADE)
def test_a_document_that_the_caller_names_is_not_made_again(ask: Ask, path: str, accept: str) -> None:
    def got(body: dict[str, Any], **headers: str) -> Any:
        return ask("POST", path, json=body, headers={"accept": accept, **headers})

    tag = got(BASES["usual"]).headers["etag"]
    errors = problem(got(BASES["usual"], **{"if-none-match": tag}), 412, "precondition-failed")
    assert tag in errors[""]
    assert got(request(), **{"if-none-match": tag}).status_code == 200
    assert got(BASES["usual"], **{"if-match": tag}).status_code == 200
    assert got(request(), **{"if-match": tag}).status_code == 412


@pytest.fixture(scope="module")
def quoting() -> Ask:
    return asking(create_app(installation(), quote_keys=KEYS))


def test_the_key_set_is_not_sent_again(quoting: Ask) -> None:
    first = quoting("GET", KEY_SET)
    assert first.headers["content-type"] == "application/jwk-set+json"
    assert quoting("GET", KEY_SET, headers={"if-none-match": f"W/{first.headers['etag']}"}).status_code == 304


@pytest.mark.parametrize("accept", ["application/json", "text/html", "application/xml", CSV])
def test_a_quote_that_the_caller_names_is_not_made_again(quoting: Ask, accept: str) -> None:
    def got(body: dict[str, Any], **headers: str) -> Any:
        return quoting("POST", "/v1/quotes", json=body, headers={"accept": accept, **headers})

    tag = got(asked()).headers["etag"]
    problem(got(asked(), **{"if-none-match": tag}), 412, "precondition-failed")
    assert got(asked({"reference": "another"}), **{"if-none-match": tag}).headers["etag"] != tag


def test_a_service_without_keys_refuses_before_it_looks_at_conditions(ask: Ask) -> None:
    problem(ask("GET", KEY_SET, headers={"if-none-match": "*"}), 501, "no-quote-keys")


def test_the_same_plate_in_another_format_is_another_document(ask: Ask) -> None:
    tag = ask("POST", "/v1/drawings", json=BASES["usual"], headers={"accept": SVG}).headers["etag"]
    other = ask("POST", "/v1/drawings", json=BASES["usual"], headers={"accept": DXF, "if-none-match": tag})
    assert other.status_code == 200


@pytest.mark.parametrize("condition", [{"if-none-match": "*"}, {"if-match": '"nothing"'}])
def test_what_a_request_is_refused_for_comes_before_its_conditions(ask: Ask, condition: dict[str, str]) -> None:
    # RFC 9110, section 13.2.1: preconditions are ignored where the answer without them is no success.
    wrong = request({"/plate/length": "9 m"})
    for path in ("/v1/drawings", "/v1/hole-schedules"):
        problem(ask("POST", path, json=wrong, headers=condition), 422, "invalid-request")
        problem(ask("POST", path, json=wrong, headers={**condition, "accept": "text/x"}), 406, "not-acceptable")


def _held(*lines: tuple[str, str]) -> bool:
    asked: Any = SimpleNamespace(headers=Headers([(name.encode(), value.encode("latin-1")) for name, value in lines]))
    try:
        hold(asked, '"a"')
    except PreconditionFailed:
        return False
    return True


# RFC 9110, sections 8.8.3.2 and 13.1.2: weak comparison, lists, `*`; also one header on two lines (section 5.3).
@pytest.mark.parametrize(
    "lines",
    [
        ['"a"'], ['W/"a"'], ["*"], [" * "], ['"b", "a"'], ['"b","a",'], ['"b"', 'W/"a"'], ['"b,", ,\t"a"'],
    ],
)  # fmt: skip
def test_a_tag_that_is_named_is_one_that_the_caller_has(lines: list[str]) -> None:
    assert not _held(*[("if-none-match", line) for line in lines])


@pytest.mark.parametrize(
    "lines",
    [
        [], ['"b"'], ['W/"b"'], ["a"], ['"a'], ['w/"a"'], ['"A"'], ['"b, \\"a\\""'], ['"a" "b"'], ['*, "a"'], [""],
        ['"b,"a"'], ['W/ "a"'],
    ],
)  # fmt: skip
def test_what_names_another_tag_or_is_no_list_of_tags_does_not(lines: list[str]) -> None:
    assert _held(*[("if-none-match", line) for line in lines])


@pytest.mark.parametrize(
    ("said", "held"), [('"a"', True), ("*", True), ('"b", "a"', True), ('W/"a"', False), ('"b"', False), ("a", False)]
)
def test_if_match_compares_strongly(said: str, *, held: bool) -> None:
    assert _held(("if-match", said)) is held


def test_an_answer_that_is_no_success_has_no_tag_and_no_condition_changes_it() -> None:
    asked: Any = SimpleNamespace(headers=Headers([(b"if-none-match", b"*")]))
    refused = Response(b"{}", status_code=503, media_type="application/problem+json")
    assert revalidated(asked, refused) is refused
    assert revalidated(asked, Response(b"{}", media_type="application/json")).status_code == 304


def test_if_match_is_looked_at_first() -> None:
    assert not _held(("if-match", '"b"'), ("if-none-match", '"b"'))
    assert _held(("if-match", '"a"'), ("if-none-match", '"b"'))


def test_a_long_header_is_read_in_a_moment() -> None:
    assert _held(("if-none-match", " ,\t" * 20_000 + '"'))
    assert _held(("if-none-match", '"b",' * 20_000 + '"'))


def test_equal_bytes_have_equal_tags_and_others_have_not() -> None:
    assert tag_of(b"a") == tag_of(b"a") != tag_of(b"b")
    assert tag_of(b"")[0] == tag_of(b"")[-1] == '"'
