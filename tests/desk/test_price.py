"""Beside the talk, live: the price, its range, its lines, what was found, weight and lead time."""

import re

import httpx
import pytest
from playwright.sync_api import Page, expect

from tests.desk.browsing import PLATE, asked, becomes, opened, priced, text

THIN = {**PLATE, "/plate/thickness": "20 mm"}
REQUEST = {
    "plate": {"family": "rectangular", "length": "700 mm", "width": "450 mm", "material": "al-6061-t6"},
    "quantity": 2,
}


def amount(shown: str) -> float:
    """An amount as the page writes it."""
    return float(shown.replace(",", "").replace("\u2212", "-"))


def test_the_price_and_its_lines_are_those_of_the_service(page: Page, url: str) -> None:
    answer = httpx.post(f"{url}/v1/prices", json=REQUEST).json()
    opened(page, url, **PLATE, **{"/quantity": "~2"})
    becomes(page, "#each", "2 plates")
    assert amount(priced(page)) == float(answer["total"])
    shown = page.locator(".lines tbody tr")
    assert shown.count() == len(answer["lines"])
    for place, line in enumerate(answer["lines"]):
        row = shown.nth(place).inner_text()
        assert line["item"] in row
        assert line["basis"] in row
        assert amount(shown.nth(place).locator("td").last.inner_text().split("\n")[0]) == float(line["amount"])


def test_the_range_narrows_as_answers_arrive(page: Page, url: str) -> None:
    def width() -> float:
        low, high = re.findall(r"[\d,]+", text(page, "#between"))
        return amount(high) - amount(low)

    opened(page, url, **PLATE)
    becomes(page, "#between", "Still between")
    wide = width()
    page.locator("#open").get_by_role("button", name="Bushings", exact=True).click()
    page.locator("#typed").fill("no")
    page.keyboard.press("Enter")
    expect(page.locator("#price")).not_to_have_class(re.compile("lags"))
    assert width() < wide


def test_weight_lead_time_and_the_card_stand_beside_the_drawing(page: Page, url: str) -> None:
    answer = httpx.post(f"{url}/v1/prices", json=REQUEST).json()
    opened(page, url, **PLATE, **{"/quantity": "~2"})
    becomes(page, ".facts", f"{float(answer['mass']['each']):.1f} kg")
    becomes(page, ".facts", f"{answer['lead_time']['working_days']} working days")
    becomes(page, ".facts", answer["rate_card"]["id"])


def test_a_finding_offers_its_mend_and_a_button_applies_it(page: Page, url: str) -> None:
    opened(page, url, **THIN)
    fault = page.locator(".findings .error").first
    expect(fault).to_be_visible()
    mend = fault.get_by_role("button", name=re.compile("Mend it"))
    mend.click()
    expect(page.locator(".findings .error")).to_have_count(0)
    becomes(page, "#tape li", "Mended")


def test_the_form_for_customers_shows_selling_lines_alone(page: Page, url: str) -> None:
    def outside(route: object) -> None:
        selling = {"item": "holes", "quantity": 1, "unit": "plate", "amount": "100.00"}
        answer = httpx.post(f"{url}/v1/prices", json=REQUEST).json()
        for inside in ("hours", "versions"):
            answer.pop(inside)
        route.fulfill(json={**answer, "lines": [selling]})  # type: ignore[attr-defined]

    page.route("**/v1/prices", outside)
    opened(page, url, **PLATE)
    rows = page.locator(".lines tbody tr")
    expect(rows).to_have_count(1)
    expect(rows.first).to_contain_text("100.00")
    expect(page.locator(".lines thead")).not_to_contain_text("Basis")
    expect(page.locator(".facts")).not_to_contain_text("Work")


@pytest.mark.parametrize("key", ["ArrowRight", "ArrowUp"])
def test_holes_are_named_by_the_arrow_keys(page: Page, url: str, key: str) -> None:
    opened(page, url, **PLATE)
    frame = page.locator("#view-plate .frame")
    expect(frame.locator(".hole").first).to_be_attached()
    asked(page)
    caption = page.locator("#view-plate .caption")
    frame.focus()
    page.keyboard.press(key)
    expect(caption).to_have_text(re.compile(r"^[A-Z]+\d+: \w+ hole"))
    first = text(page, "#view-plate .caption")
    page.keyboard.press(key)
    expect(caption).not_to_have_text(first)


def test_a_hole_is_named_under_the_pointer(page: Page, url: str) -> None:
    schedule = httpx.post(f"{url}/v1/hole-schedules", json=REQUEST).json()
    hole = next(hole for hole in schedule["holes"] if hole["kind"] == "tapped")
    opened(page, url, **PLATE)
    expect(page.locator("#view-plate .hole").first).to_be_attached()
    spot = page.locator("#view-plate .frame svg").evaluate(
        "(svg, [x, y]) => { const p = new DOMPoint(x, y).matrixTransform(svg.getScreenCTM()); return [p.x, p.y]; }",
        [float(hole["x"]), 450 - float(hole["y"])],
    )
    page.mouse.move(*spot)
    becomes(page, "#view-plate .caption", f"{hole['name']}: tapped hole")


def test_the_plate_is_drawn_to_scale_with_its_holes_marking_and_slots(page: Page, url: str) -> None:
    schedule = httpx.post(f"{url}/v1/hole-schedules", json=REQUEST).json()
    opened(page, url, **PLATE)
    drawn = page.locator("#view-plate .frame svg")
    expect(drawn.locator(".body")).to_have_attribute("width", "700")
    for kind in {hole["kind"] for hole in schedule["holes"]}:
        count = sum(hole["kind"] == kind for hole in schedule["holes"])
        becomes(page, "#view-plate .legend", f"{count} {kind}")
    rings = drawn.locator(".hole.tapped").get_attribute("d") or ""
    assert rings.count("M") == sum(hole["kind"] == "tapped" for hole in schedule["holes"])
    assert drawn.locator(".engraved").count() > 10
    slots = [float(slot.get_attribute("y") or 0) for slot in drawn.locator(".slot").all()]
    assert {round(b - a) for a, b in zip(sorted(slots), sorted(slots)[1:], strict=False)} == {100}
    assert drawn.locator(".slot").first.get_attribute("height") == "18"


def test_a_block_is_drawn_side_by_side_as_somebody_chooses(page: Page, url: str) -> None:
    block = {
        "/plate/family": "tombstone",
        "/plate/faces": "~4",
        "/plate/face_width": "300 mm",
        "/plate/height": "500 mm",
    }
    opened(page, url, **block, **{"/plate/material": "al-6061-t6"})
    sides = page.get_by_role("group", name="Sides")
    sides.get_by_role("button", name="face 3").click()
    becomes(page, "#view-plate .caption", "face 3")
    expect(sides.get_by_role("button", name="face 3")).to_have_attribute("aria-pressed", "true")
