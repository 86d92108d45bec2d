"""A real service, and a browser that opens its page."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from tallyplate.cli.main import main
from tests.desk.browsing import chromium
from tests.serving import serving

FREELY = "address_rate = 0.0\n"
"""Limits of a service that tests hurry through from one address."""


@pytest.fixture(scope="session")
def options(tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    """What a service of these tests is started with: it signs quotes, and lets one address call as fast as it likes."""
    folder = tmp_path_factory.mktemp("desk")
    (folder / "limits.toml").write_text(FREELY)
    main(["quote", "key", "--out", str(folder / "quotes.json")])
    return ["--quote-keys", str(folder / "quotes.json"), "--limits", str(folder / "limits.toml")]


@pytest.fixture(scope="session")
def url(options: list[str]) -> Iterator[str]:
    """The demonstration's service, open to this machine."""
    with serving(options=options) as found:
        yield found


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """One browser a file: it holds an event loop, which other files' tests must not find running."""
    with chromium() as found:
        yield found


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A page of a browser that remembers nothing; errors of its scripts, and what its policy blocks, fail the test."""
    context = browser.new_context(viewport={"width": 1440, "height": 900})
    found = context.new_page()
    wrong: list[str] = []
    found.on("pageerror", lambda error: wrong.append(str(error)))
    found.on("console", lambda said: wrong.append(said.text) if "Content Security Policy" in said.text else None)
    yield found
    context.close()
    assert not wrong


@pytest.fixture
def draft(tmp_path: Path) -> Path:
    """A draft card that raises one rate of the demonstration's, as finance keeps it."""
    path = tmp_path / "draft.toml"
    path.write_text(
        'id = "draft"\ninherits = "harrow-pell-2026-01"\neffective_from = 2027-01-01\n\n'
        '[work_centers]\nmill = "110 USD/h"\n# end\n'
    )
    return path
