"""The documentation page: everything it needs comes from the service itself."""

import re
from html.parser import HTMLParser
from urllib.parse import urlsplit

import pytest

from tests.plates import installation
from tests.serving import Ask


class _References(HTMLParser):
    """Collects what a page loads or links to."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found += [value or "" for name, value in attrs if name in {"src", "href"} and value != "data:,"]


def test_the_page_loads_files_of_this_service_only_and_each_is_there(ask: Ask) -> None:
    page = ask("GET", "/docs")
    assert page.status_code == 200
    references = _References(page.text).found
    assert len(references) >= 3
    for reference in references:
        assert not urlsplit(reference).netloc
        answer = ask("GET", reference)
        assert answer.status_code == 200
        assert answer.content


@pytest.mark.parametrize("path", ["/docs", "/docs/own/docs.js"])
def test_the_page_and_its_own_script_name_no_other_host(ask: Ask, path: str) -> None:
    assert "//" not in re.sub(r"^//.*$", "", ask("GET", path).text, flags=re.MULTILINE)


def test_the_style_sheet_loads_nothing(ask: Ask) -> None:
    style = ask("GET", "/docs/assets/swagger-ui.css").text
    assert "@import" not in style
    assert all(target.startswith("data:") for target in re.findall(r"url\(['\"]?([^)'\"]*)", style))


def test_the_page_asks_no_outside_validator_and_shows_our_own_document(ask: Ask) -> None:
    script = ask("GET", "/docs/own/docs.js").text
    assert "validatorUrl: null" in script
    (address,) = re.findall(r'url: "([^"]*)"', script)
    assert ask("GET", address).json()["info"]["title"] == "Tallyplate"


@pytest.mark.parametrize("path", ["/docs", "/problems/invalid-request"])
def test_a_browser_is_told_to_load_nothing_from_elsewhere(ask: Ask, path: str) -> None:
    headers = ask("GET", path).headers
    policy = dict(part.strip().split(" ", 1) for part in headers["content-security-policy"].split(";"))
    assert policy["default-src"] == "'self'"
    assert all("http" not in sources and "*" not in sources for sources in policy.values())
    assert headers["x-content-type-options"] == "nosniff"


def test_no_asset_leads_out_of_its_folder(ask: Ask) -> None:
    for path in ("/docs/own/../docs.html", "/docs/own/%2e%2e/docs.html", "/docs/own//etc/passwd", "/docs/own/"):
        assert ask("GET", path).status_code == 404


def test_the_document_says_every_installed_family(ask: Ask) -> None:
    document = ask("GET", "/openapi.json").json()
    for family in installation().families.values():
        assert family.spec.__name__ in document["components"]["schemas"]
