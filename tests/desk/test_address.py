"""The whole state in the address; a draft that survives a reload."""

import re

import httpx
from playwright.sync_api import Browser, Page, expect

from tests.desk.browsing import PLATE, becomes, opened, priced


def test_a_link_reopens_the_call_in_another_browser(page: Page, browser: Browser, url: str) -> None:
    opened(page, url, **PLATE)
    page.locator("#open").get_by_role("button", name="Marked edges").click()
    page.locator("#typed").fill("none")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    page.get_by_text("inch", exact=True).click()
    page.get_by_role("tab", name="Trade-offs").click()
    expect(page).to_have_url(re.compile("view=tradeoffs.*edges"))
    price, link = priced(page), page.url
    other = browser.new_context().new_page()
    other.goto(link)
    becomes(other, "#total", price)
    becomes(other, "#said", "Marked edges")
    expect(other.get_by_role("tab", name="Trade-offs")).to_have_attribute("aria-selected", "true")
    expect(other.get_by_label("inch")).to_be_checked()
    other.context.close()


def test_a_draft_survives_a_reload_without_its_address_and_a_new_call_clears_it(page: Page, url: str) -> None:
    opened(page, url, **PLATE)
    page.get_by_role("tab", name="All fields").click()
    pitch = page.locator("#f-plate-pattern-pitch")
    pitch.fill("35")
    becomes(page, "#tape", "Pitch: 35 mm")
    expect(page).to_have_url(re.compile("pitch"))
    price = priced(page)
    page.goto("about:blank")
    page.goto(url)
    becomes(page, "#total", price)
    expect(pitch).to_have_value("35 mm")
    page.get_by_role("button", name="New call").click()
    expect(page).not_to_have_url(re.compile("pitch"))
    expect(pitch).to_have_count(0)


def test_an_entry_that_is_not_valid_survives_a_reload_as_it_was_typed(page: Page, url: str) -> None:
    opened(page, url, **PLATE, pane="form")
    page.get_by_label(re.compile("^Length")).fill("27 9/")
    becomes(page, "#f-plate-length-wrong", "not a length")
    expect(page).to_have_url(re.compile(r"27\+9"))
    page.reload()
    expect(page.get_by_label(re.compile("^Length"))).to_have_value("27 9/")
    becomes(page, "#f-plate-length-wrong", "not a length")


def test_nothing_of_the_state_is_sent_to_the_service_in_an_address(page: Page, url: str) -> None:
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    opened(page, url, **PLATE)
    assert asked
    assert all("700" not in address.split("#")[0] for address in asked)


def test_an_address_that_cannot_be_read_begins_a_new_call(page: Page, url: str) -> None:
    page.goto(f"{url}/#/quantity=~%7Bnonsense")
    expect(page.locator("#choices li").first).to_be_visible()
    becomes(page, "#said-urgently", "could not be read")


def test_the_page_is_found_again_without_being_sent_again(url: str) -> None:
    for path in ("/", "/desk/main.js", "/desk/base.css"):
        first = httpx.get(url + path)
        assert first.status_code == 200
        again = httpx.get(url + path, headers={"if-none-match": first.headers["etag"]})
        assert (again.status_code, again.content) == (304, b"")


def test_a_link_is_read_with_the_titles_and_words_of_the_service(page: Page, url: str) -> None:
    said = {"/plate/mounting/surface": "t_slots", "/services/packing": "standard", "/services/rush": "~false"}
    opened(page, url, **PLATE, **said, **{"/services/inspection_report": "summary"})
    for words in ("Packing", "Rush", "Inspection report", "no, crates as usual", "on a table with T-slots"):
        becomes(page, "#said", words)
    becomes(page, "#said", "a sheet a plate with what was measured in the making")
