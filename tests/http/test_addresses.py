"""Addresses, methods, sizes and media types that are not ours: problems like any other."""

import json
from html import unescape

import pytest

from tallyplate.http.problems import STATUS, TITLES
from tests.http.problem import problem
from tests.plates import MINIMAL
from tests.serving import Ask

GETS = (
    "/v1/families", "/v1/materials", "/v1/rate-cards", "/v1/shop-data", "/health/live", "/health/ready", "/metrics",
    "/openapi.json", "/docs",
)  # fmt: skip


@pytest.mark.parametrize(
    "path",
    ["/nowhere", "/v1", "/v1/prices/7", "/v2/prices", "/problems", "/problems/unheard-of", "/docs/assets/none.js",
     "/docs/assets/../../app.py", "/docs/own/..%2f..%2fapp.py", "/%00", "/\u00e4", "/.env"],
)  # fmt: skip
def test_an_unknown_address_is_a_problem(ask: Ask, path: str) -> None:
    problem(ask("GET", path), 404, "not-found")


@pytest.mark.parametrize("method", ["GET", "PUT", "PATCH", "DELETE"])
def test_prices_take_post_alone_and_say_so(ask: Ask, method: str) -> None:
    response = ask(method, "/v1/prices")
    problem(response, 405, "method-not-allowed")
    assert "POST" in response.headers["allow"]


def test_head_is_refused_like_get_where_nothing_is_read(ask: Ask) -> None:
    response = ask("HEAD", "/v1/prices")
    assert response.status_code == 405
    assert "POST" in response.headers["allow"]


@pytest.mark.parametrize(
    "path", [*GETS, "/", "/problems/not-found", "/docs/own/docs.js", "/docs/assets/swagger-ui.css"]
)
@pytest.mark.parametrize("method", ["POST", "PUT", "PATCH", "DELETE"])
def test_what_is_read_takes_get_alone_and_says_so(ask: Ask, method: str, path: str) -> None:
    response = ask(method, path)
    problem(response, 405, "method-not-allowed")
    assert "GET" in response.headers["allow"]


@pytest.mark.parametrize("path", [*GETS, "/v1/families/", "/health/live/", "/docs/own/docs.js"])
def test_head_is_get_for_everything_that_is_read(ask: Ask, path: str) -> None:
    head, get = ask("HEAD", path), ask("GET", path)
    assert head.status_code == get.status_code == 200
    assert head.headers["content-type"] == get.headers["content-type"]


@pytest.mark.parametrize("path", GETS)
def test_a_media_type_is_stated_once(ask: Ask, path: str) -> None:
    assert ask("GET", path).headers["content-type"].count("charset") <= 1


def test_a_body_of_just_the_size_accepted_is_read(ask: Ask) -> None:
    body = json.dumps(MINIMAL).encode().ljust(64 * 1024)
    headers = {"content-type": "application/json"}
    assert ask("POST", "/v1/prices", content=body, headers=headers).status_code == 200
    problem(ask("POST", "/v1/prices", content=body + b" ", headers=headers), 413, "too-large")


@pytest.mark.parametrize(
    "media_type",
    ["", "text/plain", "text/json", "application/xml", "application/problem+json", "application/jsonp",
     "multipart/form-data; boundary=x", "application/x-www-form-urlencoded", "x" * 5_000, "application"],
    ids=lambda media_type: media_type[:30] or "none",
)  # fmt: skip
def test_a_body_of_another_media_type_is_refused_with_the_one_accepted(ask: Ask, media_type: str) -> None:
    headers = {"content-type": media_type} if media_type else {}
    response = ask("POST", "/v1/prices", content=json.dumps(MINIMAL).encode(), headers=headers)
    problem(response, 415, "not-json")
    assert "accepted: application/json" in response.json()["detail"]
    assert len(response.content) < 500


@pytest.mark.parametrize("path", ["/v1/prices", "/v1/findings", "/v1/quotes"])
@pytest.mark.parametrize(
    ("coding", "status"), [("gzip", 415), ("br, gzip", 415), ("identity", None), ("Identity", None)]
)
def test_a_compressed_body_is_refused_as_one_and_not_as_bad_json(
    ask: Ask, path: str, coding: str, status: int | None
) -> None:
    headers = {"content-type": "application/json", "content-encoding": coding}
    response = ask("POST", path, content=json.dumps(MINIMAL).encode(), headers=headers)
    assert (response.status_code == 415) == (status == 415)
    if status:
        assert problem(response, 415, "not-json")[""].endswith(f"{coding!r}; accepted: none")


@pytest.mark.parametrize("code", STATUS)
def test_every_kind_of_problem_has_a_page_that_explains_it(ask: Ask, code: str) -> None:
    response = ask("GET", f"/problems/{code}")
    assert response.status_code == 200
    assert response.headers["content-type"].startswith("text/html")
    assert TITLES[code] in unescape(response.text)
    assert str(int(STATUS[code])) in response.text


def test_the_root_is_the_desk(ask: Ask) -> None:
    response = ask("GET", "/")
    assert response.status_code == 200
    assert response.headers["content-type"].startswith("text/html")
