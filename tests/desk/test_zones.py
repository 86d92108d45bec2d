"""Zones and rows left out in the form: added, filled in, priced and drawn; what a request brings is kept and shown."""

from playwright.sync_api import Page, expect

from tests.desk.browsing import PLATE, becomes, opened, priced

BARE = PLATE | {"/plate/mounting/surface": "none"}


def test_a_row_is_left_out_by_its_number_and_put_back(page: Page, url: str) -> None:
    opened(page, url, **BARE, pane="form")
    before = priced(page)
    page.locator("summary:visible", has_text="Rows left out").click()
    page.get_by_role("button", name="Add: rows left out", exact=True).click()
    page.locator("#f-plate-pattern-rows-left-out-0").fill("2")
    expect(page.locator("#total")).not_to_have_text(before)
    page.get_by_role("button", name="Take out rows left out 1").click()
    becomes(page, "#total", before)


def test_a_zone_is_added_and_drawn_with_its_number(page: Page, url: str) -> None:
    opened(page, url, **BARE, pane="form")
    page.get_by_role("button", name="Add: zones", exact=True).click()
    page.locator("#f-plate-zones-0-length").fill("300")
    page.locator("#f-plate-zones-0-width").fill("450 mm")
    expect(page.locator("#view-plate rect.zone")).to_have_count(1)
    expect(page.locator("#view-plate text.engraved", has_text="Zone 1")).to_have_count(1)
