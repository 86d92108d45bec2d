"""Nothing is cut off: long words wrap, and hold their room when they go."""

from playwright.sync_api import Page, expect

from tests.desk.browsing import PLATE, becomes, opened

CUT = """
(selector) => [...document.querySelectorAll(selector)].filter((one) => one.offsetParent)
  .filter((one) => one.scrollHeight > one.clientHeight + 1 || one.scrollWidth > one.clientWidth + 1)
  .map((one) => one.textContent)
"""
"""The texts that are wider or higher than the room they stand in."""


def test_hints_wrap_and_what_a_list_cuts_off_stands_beneath_it(page: Page, url: str) -> None:
    opened(page, url, **PLATE, **{"/plate/mounting/locate": "pins"}, pane="form")
    becomes(page, "#f-plate-mounting-locate-says", "a round pin and a relieved pin")
    becomes(page, "#f-services-material-certificate-says", "independent of its making.")
    assert page.evaluate(CUT, "#pane-form .says") == []


def test_a_hint_that_goes_leaves_its_room(page: Page, url: str) -> None:
    opened(page, url, **PLATE, pane="form")
    field = page.locator("#f-services-matched")
    hint = page.locator("#f-services-matched-says")
    becomes(page, "#f-services-matched-says", "same position tolerance")
    height = hint.evaluate("one => one.offsetHeight")
    field.select_option(label="no")
    expect(hint).to_have_text("")
    assert hint.evaluate("one => one.offsetHeight") == height


def test_finance_fits_a_narrow_screen(page: Page, url: str) -> None:
    page.set_viewport_size({"width": 420, "height": 900})
    opened(page, url, **PLATE, view="finance")
    becomes(page, "#view-finance", "in force")
    assert page.evaluate(CUT, "#view-finance .scroll") == []
