"""What can be sent: the quote sheet, drawings and schedules; and the page on paper."""

import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.desk.browsing import PLATE, becomes, opened

KINDS = [
    ("PDF", 0, b"%PDF-"),
    ("page", 0, b"<!doctype html"),
    ("UBL XML", 0, b"<?xml"),
    ("SVG", 0, b"<svg"),
    ("DXF", 0, b"  0\nSECTION"),
    ("XLSX", 0, b"PK"),
    ("CSV", 1, b"\xef\xbb\xbfname,"),
]
"""What a button is called, which of those of that name, and how its file begins."""


def test_every_paper_is_downloaded_as_the_service_writes_it(page: Page, url: str) -> None:
    opened(page, url, **PLATE, view="papers")
    page.locator("#customer").fill("Harrow Pell (invented)")
    for name, place, begins in KINDS:
        with page.expect_download() as expected:
            page.locator("#view-papers").get_by_role("button", name=name, exact=True).nth(place).click()
        content = Path(expected.value.path()).read_bytes()
        assert content.lower().startswith(begins.lower()), (name, content[:40])
        assert re.fullmatch(r"[\w.-]+\.\w+", expected.value.suggested_filename)


def test_a_quote_without_a_customer_is_asked_for_one(page: Page, url: str) -> None:
    opened(page, url, **PLATE, view="papers")
    page.get_by_role("button", name="PDF").click()
    becomes(page, "#view-papers .note", "whom the quote is for")


def test_no_paper_is_written_on_a_guess(page: Page, url: str) -> None:
    opened(page, url, **{"/plate/family": "rectangular"}, view="papers")
    page.get_by_role("button", name="DXF").click()
    becomes(page, "#view-papers .note", "Not yet said: material, length, width")


@pytest.mark.parametrize("view", ["plate", "papers"])
def test_on_paper_stand_the_price_the_lines_and_what_was_said_and_no_buttons(page: Page, url: str, view: str) -> None:
    opened(page, url, **PLATE, view=view)
    page.emulate_media(media="print")
    expect(page.locator("#total")).to_be_visible()
    expect(page.locator("#view-plate .lines")).to_be_visible()
    expect(page.locator("#said")).to_be_visible()
    assert page.get_by_role("button").count() == 0
