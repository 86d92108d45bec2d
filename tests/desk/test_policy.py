"""What the page is made of: files of its own, a strict policy, nothing inline."""

import re
from importlib.resources import files

import httpx
import pytest

STATIC = files("tallyplate.desk").joinpath("static")
NAMES = sorted(path.name for path in STATIC.iterdir())
FORBIDDEN = re.compile(
    r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\(|new Function|style=|https?://(?!www\.w3\.org)"
)
WITHIN = 250
"""Lines of the longest file."""


def test_the_policy_lets_nothing_run_that_is_not_a_file_of_this_service(url: str) -> None:
    answer = httpx.get(url)
    policy = dict(part.strip().split(" ", 1) for part in answer.headers["content-security-policy"].split(";"))
    assert policy == {
        "default-src": "'none'", "script-src": "'self'", "style-src": "'self'", "img-src": "'self' data: blob:",
        "connect-src": "'self'", "base-uri": "'none'", "form-action": "'none'", "frame-ancestors": "'none'",
    }  # fmt: skip
    assert not re.search(r"<script(?![^>]* src=)|<style|\son\w+=", answer.text)


@pytest.mark.parametrize("name", NAMES)
def test_a_file_makes_no_markup_of_text_calls_nobody_else_and_is_short(name: str) -> None:
    text = STATIC.joinpath(name).read_text("utf-8")
    assert not FORBIDDEN.search(text)
    assert len(text.splitlines()) <= WITHIN


@pytest.mark.parametrize("name", ["nothing.js", "index.html", "..%2Fpages.py", "main.py"])
def test_what_is_no_file_of_the_page_is_not_found(url: str, name: str) -> None:
    assert httpx.get(f"{url}/desk/{name}").status_code == 404


def test_every_file_that_a_module_imports_is_there() -> None:
    for name in NAMES:
        for found in re.findall(r'from "\./(.+?)"', STATIC.joinpath(name).read_text("utf-8")):
            assert found in NAMES
