"""Who cannot see, cannot use a mouse, or is on a small screen in the dark: by the checker's rules, and by hand."""

import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from tests.desk.browsing import PLATE, becomes, opened, priced

RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}
VIEWS = {
    "plate": {"view": "plate"},
    "fields": {"view": "plate", "pane": "form"},
    "trade-offs": {"view": "tradeoffs"},
    "side by side": {"view": "beside", **{f"beside{pointer}": value for pointer, value in PLATE.items()}},
    "papers": {"view": "papers"},
    "finance": {"view": "finance"},
}
LOADED = {"trade-offs": ".curves svg", "side by side": ".verdict", "finance": "#view-finance table", "plate": ".hole"}
SEEN = """
() => {
  const focused = document.activeElement, price = document.getElementById('price').getBoundingClientRect();
  return !focused.closest('.ask, .shown') || focused.getBoundingClientRect().bottom > price.bottom;
}
"""
"""Whether what has the focus stands below the price, which stays at the top."""
WIDTHS = {"phone": 390, "tablet": 820, "laptop": 1440}


@pytest.mark.parametrize("view", VIEWS)
def test_the_checker_finds_nothing_against_a_view_in_either_theme(browser: Browser, url: str, view: str) -> None:
    context = browser.new_context(viewport={"width": 1440, "height": 900}, bypass_csp=True)
    page = opened(context.new_page(), url, **{**PLATE, "/plate/thickness": "20 mm"}, **VIEWS[view])
    expect(page.locator(LOADED.get(view, "#total")).first).to_be_visible()
    told = _told(page)
    page.emulate_media(color_scheme="dark")
    page.set_viewport_size({"width": 390, "height": 900})
    told += _told(page)
    context.close()
    assert not told


def _told(page: Page) -> list[tuple[str, str, str]]:
    """What the checker says against a page: rule, element, reason."""
    violations = Axe().run(page, options=RULES).response["violations"]
    return [(one["id"], node["html"], node["failureSummary"]) for one in violations for node in one["nodes"]]


@pytest.mark.parametrize("width", WIDTHS.values(), ids=WIDTHS)
def test_nothing_stands_beyond_the_edge_of_a_screen(page: Page, url: str, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    opened(page, url, **PLATE)
    for view in ("Plate", "Trade-offs", "Side by side", "Papers", "Finance"):
        page.get_by_role("tab", name=view).click()
        assert page.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.parametrize("width", WIDTHS.values(), ids=WIDTHS)
def test_every_field_of_the_form_is_there_on_a_screen(page: Page, url: str, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    opened(page, url, **PLATE, pane="form")
    for control in page.locator("#pane-form :is(input, select)").all():
        inside = control.locator("xpath=ancestor::details[not(@open)]").count()
        assert inside or control.is_visible(), control.get_attribute("id")


def test_whoever_listens_hears_prices_when_they_have_settled_and_errors(page: Page, url: str) -> None:
    opened(page, url, **PLATE, pane="form")
    page.locator("#f-quantity").fill("3")
    becomes(page, "#each", "3 plates")
    becomes(page, "#said-politely", re.compile(rf"^{re.escape(priced(page))} USD, \+"))
    page.locator("#f-plate-length").fill("7x")
    becomes(page, "#said-urgently", "Length: '7x' is not a length")


def test_every_control_of_the_page_is_reached_and_left_by_the_tab_key(page: Page, url: str) -> None:
    opened(page, url, **PLATE)
    expect(page.locator("#open li").first).to_be_visible()
    reached: set[str] = set()
    for _ in range(120):
        page.keyboard.press("Tab")
        reached.add(
            page.evaluate(
                "document.activeElement.id || document.activeElement.className || document.activeElement.tagName"
            )
        )
        if page.evaluate("document.activeElement === document.body"):
            break
    assert {"skip", "undo", "begin", "typed", "leave", "tab-talk", "tab-plate", "frame"} - reached <= {"undo"}


def test_what_has_the_focus_is_not_hidden_behind_the_price(page: Page, url: str) -> None:
    page.set_viewport_size({"width": 390, "height": 700})
    opened(page, url, **PLATE, pane="form")
    for _ in range(60):
        page.keyboard.press("Tab")
        seen = page.evaluate(SEEN)
        assert seen, page.evaluate("document.activeElement.id")


def test_with_reduced_motion_nothing_moves_by_itself(browser: Browser, url: str) -> None:
    context = browser.new_context(reduced_motion="reduce")
    page = opened(context.new_page(), url, **PLATE)
    moving = page.evaluate(
        "[...document.querySelectorAll('*')].filter(e => parseFloat(getComputedStyle(e).transitionDuration) > 0).length"
    )
    context.close()
    assert moving == 0
