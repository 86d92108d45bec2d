"""Inches or millimetres at any time, fractions accepted, and no figure lost by switching."""

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.desk.browsing import PLATE, becomes, opened, priced

READINGS = [
    # An inch is 25.4 mm exactly (international yard and pound agreement of 1959, as in NIST SP 811, appendix B.8).
    ("25.4 mm", "in", "1 in"),
    ("27 9/16 in", "mm", "700.0875 mm"),
    ("1/64 in", "mm", "0.396875 mm"),
    ("12.7 mm", "in", "1/2 in"),
    ("700 mm", "in", "\u2248 27.5591 in"),
    ("1/3 in", "mm", "\u2248 8.4667 mm"),
    ("2 ft", "in", "2 ft"),
    ("1.9 in", "in", "1.9 in"),
]

TYPED = [
    ("24", "in", "24 in"),
    ("27 9/16", "in", "27 9/16 in"),
    ("27-9/16 in", "mm", "27 9/16 in"),
    ('24"', "mm", "24 in"),
    ("600", "mm", "600 mm"),
    ("60cm", "mm", "60 cm"),
    ("12 parsec", "mm", "12 parsec"),
]


@pytest.fixture(scope="module")
def units(browser: Browser, url: str) -> Iterator[Page]:
    """A page whose module of units is asked directly."""
    page = browser.new_page()
    page.goto(url)
    yield page
    page.close()


def ask(units: Page, name: str, *arguments: str) -> str:
    call = f"async (given) => (await import('/desk/units.js')).{name}(...given)"
    found: str = units.evaluate(call, list(arguments))
    return found


@pytest.mark.parametrize(("written", "unit", "read"), READINGS)
def test_a_length_is_read_exactly_or_marked_as_rounded(units: Page, written: str, unit: str, read: str) -> None:
    assert ask(units, "reading", written, unit) == read


@pytest.mark.parametrize(("typed", "unit", "meant"), TYPED)
def test_what_is_typed_gets_the_unit_in_use_where_it_has_none(units: Page, typed: str, unit: str, meant: str) -> None:
    assert ask(units, "completed", typed, unit) == meant


def test_switching_units_changes_no_figure_of_the_request_and_no_price(page: Page, url: str) -> None:
    opened(page, url, **{**PLATE, "/plate/length": "27 9/16 in", "/plate/pattern/pitch": "1 1/3 in"}, pane="form")
    price, length = priced(page), page.locator("#f-plate-length")
    expect(length).to_have_value("700.0875 mm")
    for unit, shown in (("inch", "27 9/16 in"), ("mm", "700.0875 mm"), ("inch", "27 9/16 in")):
        page.get_by_text(unit, exact=True).click()
        expect(length).to_have_value(shown)
    expect(page).to_have_url(re.compile(r"length=27\+9/16\+in"))
    expect(page).to_have_url(re.compile(r"pitch=1\+1/3\+in"))
    becomes(page, "#total", price)


def test_the_same_plate_typed_in_inches_and_in_millimetres_costs_the_same(page: Page, url: str) -> None:
    opened(page, url, **{**PLATE, "/plate/length": "635 mm"}, pane="form", unit="in")
    price = priced(page)
    page.locator("#f-plate-length").fill("26")
    expect(page.locator("#total")).not_to_have_text(price)
    page.locator("#f-plate-length").fill("25")
    becomes(page, "#total", price)
    becomes(page, "#f-plate-length-says", "635 mm")


def test_weight_and_drawing_are_read_in_the_unit_in_use(page: Page, url: str) -> None:
    opened(page, url, **{**PLATE, "/plate/length": "635 mm"})
    page.get_by_text("inch", exact=True).click()
    becomes(page, ".facts", " lb (")
    expect(page.locator("#view-plate .body")).to_have_attribute("width", "25")
