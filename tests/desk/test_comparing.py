"""Two plates side by side, and the difference line by line."""

import re

import httpx
from playwright.sync_api import Page, expect

from tests.desk.browsing import PLATE, becomes, opened, priced

A = {"family": "rectangular", "length": "700 mm", "width": "450 mm", "material": "al-6061-t6"}
B = {**A, "material": "steel-1018"}


def test_a_plate_is_set_aside_and_the_next_is_compared_with_it_line_by_line(page: Page, url: str) -> None:
    answer = httpx.post(f"{url}/v1/comparisons", json={"a": {"plate": A}, "b": {"plate": B}}).json()["comparison"]
    opened(page, url, **PLATE, view="beside", pane="form")
    page.get_by_role("button", name="Set this plate aside").click()
    page.locator("#f-plate-material").select_option(label="Mild steel 1018")
    becomes(page, ".verdict", "cheaper")
    expect(page.locator("#view-beside .body")).to_have_count(2)
    rows = page.get_by_role("region", name=re.compile("difference by line")).locator("tbody tr")
    moved = [line for line in answer["lines"] if float(line["difference"])]
    assert rows.count() == len(moved)
    shown = rows.nth(0).inner_text()
    assert moved[0]["item"] in shown
    total = page.get_by_role("region", name=re.compile("difference by line")).locator("tfoot")
    expect(total).to_contain_text(priced(page))


def test_the_plates_change_places_and_one_is_put_away(page: Page, url: str) -> None:
    beside = {f"beside{pointer}": value for pointer, value in PLATE.items()}
    opened(page, url, **{**PLATE, "/plate/material": "steel-1018"}, **beside, view="beside")
    becomes(page, ".verdict", "cheaper")
    page.get_by_role("button", name="Change places").click()
    becomes(page, ".verdict", "dearer")
    page.get_by_role("button", name="Put it away").click()
    expect(page.locator(".verdict")).to_have_count(0)
