"""Features in the form: one is added by its kind, filled in, priced and drawn; places are added; all is taken out."""

from playwright.sync_api import Page, expect

from tests.desk.browsing import PLATE, becomes, opened, priced


def test_a_pocket_is_added_by_its_kind_filled_in_drawn_and_taken_out(page: Page, url: str) -> None:
    opened(page, url, **PLATE, pane="form")
    before = priced(page)
    page.get_by_role("button", name="Add: pocket").click()
    becomes(page, "#f-plate-features-0-depth-wrong", "required")
    page.locator("summary", has_text="Middle").click()
    for field, said in (("length", "80"), ("width", "40 mm"), ("depth", "12"), ("at-x", "200"), ("at-y", "200")):
        page.locator(f"#f-plate-features-0-{field}").fill(said)
    page.locator("#f-plate-features-0-face").select_option(label="bottom")
    expect(page.locator("#view-plate path.milled")).to_have_count(1)
    expect(page.locator("#total")).not_to_have_text(before)
    page.get_by_role("button", name="Take out pocket 1").click()
    expect(page.locator("#view-plate path.milled")).to_have_count(0)
    becomes(page, "#total", before)


def test_places_are_added_to_holes_of_a_kind(page: Page, url: str) -> None:
    opened(page, url, **PLATE, pane="form")
    page.get_by_role("button", name="Add: hole", exact=True).click()
    page.locator("#f-plate-features-0-kind").select_option(label="plain")
    page.locator("#f-plate-features-0-diameter").fill("12 mm")
    for place, (x, y) in enumerate((("100", "100"), ("200", "120"))):
        page.get_by_role("button", name="Add: centres").click()
        page.locator(f"#f-plate-features-0-at-{place}-x").fill(x)
        page.locator(f"#f-plate-features-0-at-{place}-y").fill(y)
    expect(page.locator("#view-plate .legend")).to_contain_text("2 plain")
