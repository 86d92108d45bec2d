"""Services around the plates stand among all fields, as the published schema states them."""

from playwright.sync_api import Page, expect

from tests.desk.browsing import PLATE, becomes, opened, priced


def test_every_service_has_a_field_with_its_title(page: Page, url: str) -> None:
    opened(page, url, **PLATE, pane="form")
    group = page.locator("#pane-form > fieldset").filter(has=page.locator("#f-services-rush"))
    for title in ("Material certificate", "Inspection report", "Packing", "Hole plugs", "Matched plates", "Rush"):
        expect(group.get_by_label(title, exact=True).first).to_be_visible()
    group.get_by_text("Spare parts").first.click()
    expect(group.get_by_label("Clamping screws")).to_be_visible()


def test_a_service_is_chosen_and_priced(page: Page, url: str) -> None:
    opened(page, url, **PLATE, pane="form")
    price = priced(page)
    page.locator("#f-services-packing").select_option(
        label="yes, crates of heat-treated timber (ISPM 15), plates sealed in film"
    )
    becomes(page, "#tape", "Packing: yes, crates")
    expect(page.locator("#total")).not_to_have_text(price)
    becomes(page, "#view-plate", "heat-treated")


def test_spare_parts_are_counted_by_their_screw(page: Page, url: str) -> None:
    opened(page, url, **PLATE, pane="form")
    page.get_by_text("Spare parts").first.click()
    bushings = page.locator("#f-services-spares-bushings")
    bushings.fill("1/2-13: 10")
    becomes(page, "#tape", "Bushings: 1/2-13: 10")
    becomes(page, "#view-plate", "spare bushings 1/2-13")
    bushings.fill("1/2-13")
    becomes(page, "#f-services-spares-bushings-wrong", "'1/2-13' is text; accepted: an object")
    expect(bushings).to_have_value("1/2-13")
