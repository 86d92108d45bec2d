"""A browser on the page, and what tests read off it."""

import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Final
from urllib.parse import quote

from playwright.sync_api import Browser, Page, expect, sync_playwright

MOST: Final = 30_000
"""Milliseconds that anything on the page may take before a test gives up; a machine may be busy."""

NAME: Final = "chromium"

expect.set_options(timeout=MOST)

PLATE: Final = {
    "/plate/family": "rectangular",
    "/plate/length": "700 mm",
    "/plate/width": "450 mm",
    "/plate/material": "al-6061-t6",
}
"""A plate that has a price, as the page's address states it."""


@contextmanager
def chromium() -> Iterator[Browser]:
    """Debian's browser, headless; it is not skipped where it is absent, since then nothing would be shown."""
    path = shutil.which(NAME)
    assert path, f"{NAME} is not on the PATH, and the page cannot be tested without it: apt-get install {NAME}"
    with sync_playwright() as playwright:
        # The sandbox needs rights that containers seldom give; only pages of this project are opened.
        browser = playwright.chromium.launch(executable_path=path, args=["--no-sandbox", "--disable-gpu"])
        try:
            yield browser
        finally:
            browser.close()


def address(url: str, **answers: str) -> str:
    """The address of the page with answers by pointer."""
    return f"{url}/#" + "&".join(f"{quote(name, safe='/')}={quote(value)}" for name, value in answers.items())


def opened(page: Page, url: str, **answers: str) -> Page:
    """The page with these answers: once it has its price, where they make a plate, else its first question."""
    page.set_default_timeout(MOST)
    page.goto("about:blank")
    page.goto(address(url, **answers))
    if "/plate/width" in answers:
        priced(page)
    else:
        asked(page)
    return page


def priced(page: Page) -> str:
    """The price on the page, once there is one."""
    expect(page.locator("#total")).not_to_have_text("\u2014")
    return text(page, "#total")


def asked(page: Page) -> str:
    """The question that leads, once the service has thought of it."""
    expect(page.locator("#question")).not_to_have_text("One moment.")
    expect(page.locator("#decides")).to_contain_text(re.compile(r"\w"))
    return text(page, "#question")


def text(page: Page, selector: str) -> str:
    """What an element says."""
    return page.locator(selector).inner_text().strip()


def becomes(page: Page, selector: str, wanted: Any) -> None:
    """Wait until an element says something: a text, or a pattern."""
    expect(page.locator(selector).first).to_contain_text(wanted)
