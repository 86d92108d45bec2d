"""The trade-off view: curves with the present plate marked, a budget, and the plates that it buys."""

import re

import httpx
from playwright.sync_api import Page, expect

from tests.desk.browsing import MOST, PLATE, becomes, opened, priced, text

SMALL = {**PLATE, "/plate/length": "300 mm", "/plate/width": "200 mm"}
VIEW = {"view": "tradeoffs"}


def test_curves_of_pitch_thickness_and_quantity_mark_the_present_plate(page: Page, url: str) -> None:
    opened(page, url, **SMALL, **VIEW)
    for title in ("Quantity", "Pitch", "Finished thickness"):
        chart = page.locator(".curves figure").filter(has_text=title)
        expect(chart.locator(".present")).to_have_count(1)
    becomes(page, ".curves figure:first-child .caption", priced(page))


def test_curves_are_read_in_the_unit_in_use(page: Page, url: str) -> None:
    opened(page, url, **SMALL, **{"/plate/pattern/pitch": "1 in"}, **VIEW)
    pitch = page.locator(".curves figure").filter(has_text="Pitch").locator(".caption")
    expect(pitch).to_contain_text("25.4 mm:")
    page.get_by_label("inch", exact=True).check()
    expect(pitch).to_contain_text("1 in:")


def test_a_point_of_a_curve_is_read_and_taken_by_keyboard(page: Page, url: str) -> None:
    opened(page, url, **SMALL, **VIEW)
    chart = page.get_by_role("application", name=re.compile("Price by quantity"))
    chart.focus()
    page.keyboard.press("ArrowRight")
    becomes(page, ".curves figure:first-child .caption", "2 plates")
    page.keyboard.press("Enter")
    becomes(page, "#each", "2 plates")


def test_a_budget_is_typed_and_an_alternative_is_taken_at_its_very_price(page: Page, url: str) -> None:
    opened(page, url, **SMALL, **VIEW)
    page.get_by_role("textbox", name="Budget").fill("600")
    page.get_by_role("textbox", name="Budget").blur()
    expect(page.get_by_role("textbox", name="Budget")).to_have_value("600 USD")
    second = page.locator(".front li").filter(has=page.get_by_role("button")).first
    expect(second).to_be_visible(timeout=3 * MOST)
    assert len(second.locator("p").first.inner_text().split()) > 5
    total = second.locator(".figure").first.inner_text()
    second.get_by_role("button", name="Take this one").click()
    becomes(page, "#total", total)


def test_a_budget_that_is_none_is_said_beside_its_field(page: Page, url: str) -> None:
    opened(page, url, **SMALL, **VIEW)
    page.get_by_role("textbox", name="Budget").fill("lots")
    becomes(page, "#budget-wrong", "not a sum of money")
    expect(page.get_by_role("textbox", name="Budget")).to_have_value("lots")


def test_each_choice_is_worth_what_the_service_says_and_is_taken_by_its_button(page: Page, url: str) -> None:
    plate = {"family": "rectangular", "length": "300 mm", "width": "200 mm", "material": "al-6061-t6"}
    effects = httpx.post(f"{url}/v1/effects", json={"plate": plate}).json()["effects"]
    anodized = next(effect for effect in effects if effect["neighbour"] == "anodized")
    opened(page, url, **SMALL, **VIEW)
    page.get_by_role("button", name="Finish: anodized").or_(page.get_by_role("button", name="Finish: Anodized")).click()
    becomes(page, "#said", "anodized")
    becomes(page, "#moved", anodized["difference"].replace("-", "\u2212"))
    assert float(text(page, "#total").replace(",", "")) == float(anodized["total"])
