"""Bodies that are no JSON, or none that can be read without guessing: 400, and why, whatever their bytes are."""

import json
from typing import Any

import pytest

from tallyplate.http.limits import DEFAULTS
from tests.http.problem import problem
from tests.plates import MINIMAL
from tests.serving import Ask

JSON = {"content-type": "application/json"}

NOT_JSON: dict[str, bytes] = {
    "nothing": b"",
    "blanks": b"  \r\n\t",
    "a word": b"plate",
    "half an object": b'{"plate": {',
    "two objects": b"{} {}",
    "a trailing comma": b'{"quantity": 1,}',
    "single quotes": b"{'quantity': 1}",
    "a comment": b'{"quantity": 1} // one',
    "NaN": b'{"quantity": NaN}',
    "Infinity": b'{"quantity": Infinity}',
    "minus Infinity": b'{"quantity": -Infinity}',
    "a leading zero": b'{"quantity": 01}',
    "hexadecimal": b'{"quantity": 0x10}',
    "a control character in a text": b'{"plate": "\x01"}',
    "a bad escape": b'{"plate": "\\q"}',
    "half a surrogate pair": b'{"\\ud800": 1}',
    "a byte order mark": b"\xef\xbb\xbf{}",
    "UTF-16": json.dumps(MINIMAL).encode("utf-16"),
    "nul bytes": b"\0" * 64,
    "a form": b"plate=rectangular&quantity=1",
    "XML": b"<plate/>",
}


@pytest.mark.parametrize("body", NOT_JSON.values(), ids=NOT_JSON)
def test_a_body_that_is_no_json_is_told_why(ask: Ask, body: bytes) -> None:
    errors = problem(ask("POST", "/v1/prices", content=body, headers=JSON), 400, "malformed-json")
    assert "is not JSON: " in errors[""]
    assert "accepted: one JSON object" in errors[""]


def test_every_number_beyond_floats_is_named(ask: Ask) -> None:
    body = b'{"quantity": 1e999, "plate": {"length": [0, -1e400], "width": 1e300}}'
    errors = problem(ask("POST", "/v1/prices", content=body, headers=JSON), 400, "malformed-json")
    assert errors == dict.fromkeys(["/quantity", "/plate/length/1"], "is a number beyond 1e308; accepted: less")


@pytest.mark.parametrize("rest", [b"", b"[" * 5_000 + b"]" * 5_000 + b"}", b"\xff"])
def test_a_number_beyond_floats_in_what_is_no_json_besides_is_refused_as_a_whole(ask: Ask, rest: bytes) -> None:
    body = b'{"quantity": 1e999, "plate": ' + rest
    assert "" in problem(ask("POST", "/v1/prices", content=body, headers=JSON), 400, "malformed-json")


@pytest.mark.parametrize("text", [b"\xff", b"\xc0\xaf", b"\xed\xa0\x80", "gr\xf6\xdfe".encode("latin-1")])
def test_a_text_that_is_no_utf_8_is_told_so(ask: Ask, text: bytes) -> None:
    body = b'{"plate": "' + text + b'"}'
    errors = problem(ask("POST", "/v1/prices", content=body, headers=JSON), 400, "malformed-json")
    assert "UTF-8" in errors[""]


@pytest.mark.parametrize(
    "body",
    [b"[" * 60_000, b'{"plate":' * 6_000, b"[" * 30_000 + b"]" * 30_000, b'{"a:b":[' * 4_000 + b"]}" * 4_000],
    ids=["open lists", "open objects", "closed lists", "closed, with colons in the keys"],
)
def test_deep_nesting_is_refused_and_not_followed(ask: Ask, body: bytes) -> None:
    errors = problem(ask("POST", "/v1/prices", content=body, headers=JSON), 400, "malformed-json")
    assert "nested too deep" in errors[""]


@pytest.mark.parametrize("depth", [2, 20, DEFAULTS.json_depth])
def test_nesting_that_can_be_read_is_refused_as_a_request(ask: Ask, depth: int) -> None:
    body = b'{"plate":' * depth + b"1" + b"}" * depth
    assert problem(ask("POST", "/v1/prices", content=body, headers=JSON), 422, "invalid-request")


def test_one_level_more_is_too_deep_and_brackets_in_texts_or_side_by_side_are_no_levels(ask: Ask) -> None:
    most = DEFAULTS.json_depth
    body = b'{"plate":' * (most + 1) + b"1" + b"}" * (most + 1)
    errors = problem(ask("POST", "/v1/prices", content=body, headers=JSON), 400, "malformed-json")
    assert f"accepted: at most {most} objects and lists" in errors[""]
    plates: tuple[Any, ...] = ('a "' + "[{" * 100, [[] for _ in range(200)])
    for plate in plates:
        content = json.dumps({"plate": plate}).encode()
        assert problem(ask("POST", "/v1/prices", content=content, headers=JSON), 422, "invalid-request")


@pytest.mark.parametrize(
    ("body", "key"),
    [
        (b'{"quantity": 1, "quantity": 2}', "quantity"),
        (b'{"quantity": 1, "quantit\\u0079": 2}', "quantity"),
        (b'{"plate": {"length": "1 m", "length": "9 m"}}', "length"),
        (b'{"plate": [{"x": [{"deep": 1, "deep": 1}]}]}', "deep"),
        (b'{"": 1, "": 2}', ""),
        (b'{"note": "a:b", "note": "c"}', "note"),
    ],
)
def test_a_key_given_twice_is_refused_since_only_one_could_count(ask: Ask, body: bytes, key: str) -> None:
    errors = problem(ask("POST", "/v1/prices", content=body, headers=JSON), 400, "malformed-json")
    assert f"the key {key!r} stands twice" in errors[""]


@pytest.mark.parametrize("digits", [19, 20, 25, 400, 4_000])
def test_an_integer_of_any_size_is_read_as_the_number_it_is(ask: Ask, digits: int) -> None:
    body = b'{"plate": {}, "quantity": ' + b"9" * digits + b"}"
    errors = problem(ask("POST", "/v1/prices", content=body, headers=JSON), 422, "invalid-request")
    assert "at most 100000" in errors["/quantity"]
    assert len(errors["/quantity"]) < 300


@pytest.mark.parametrize("number", ["9" * 5_000, "-" + "9" * 60_000, "0." + "1" * 60_000, "1e" + "9" * 5_000])
def test_a_number_of_thousands_of_digits_is_a_refusal_of_some_kind(ask: Ask, number: str) -> None:
    for key in ("a", "a:b", "\\u0061"):
        body = f'{{"plate": {{"{key}": 1}}, "quantity": {number}}}'
        response = ask("POST", "/v1/prices", content=body.encode(), headers=JSON)
        assert response.status_code in {400, 422}, response.text
        assert len(response.content) < 2_000


def _long(at: str) -> dict[str, Any]:
    return {"plate": {"family": "rectangular", at: "9" * 1_000_000}}


@pytest.mark.parametrize("field", ["length", "material", "family", "colour"])
def test_a_text_of_a_million_characters_is_too_large(ask: Ask, field: str) -> None:
    problem(ask("POST", "/v1/prices", json=_long(field)), 413, "too-large")
