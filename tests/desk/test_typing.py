"""While somebody types: the answer is there at once, and nothing moves under the hand."""

import statistics
from typing import Any

from playwright.sync_api import Page, expect

from tests.desk.browsing import PLATE, becomes, opened, text

TIMED = """
() => new Promise((done) => {
  const total = document.getElementById('total'), input = document.activeElement, started = performance.now();
  const painted = () => requestAnimationFrame(() => done(performance.now() - started));
  new MutationObserver((_, watch) => { watch.disconnect(); painted(); })
    .observe(total, { childList: true, characterData: true, subtree: true });
  setTimeout(() => done(5000), 5000);
  input.value = input.value.endsWith('1') ? input.value.slice(0, -1) + '2' : input.value.slice(0, -1) + '1';
  input.dispatchEvent(new Event('input', { bubbles: true }));
})
"""
"""One keystroke, and the milliseconds until its price has been painted."""

ELSEWHERE = """
async () => {
  const { ask, current } = await import('/desk/store.js');
  ask({ ...current().request, quantity: 3 }, 'Quantity');
}
"""
"""Something else changes meanwhile."""

PLACES = """
() => Object.fromEntries(
  ['#typed', '#price', '#f-plate-length', '#f-plate-width', '#pane-form', '#tab-plate', '.frame', '.facts']
    .map((name) => [name, document.querySelector(name).getBoundingClientRect()])
    .map(([name, box]) => [name, [box.x, box.y, box.width, box.height].map(Math.round)]))
"""
"""Where things stand."""


def test_the_price_is_on_the_screen_after_each_keystroke_and_how_soon_is_told(page: Page, url: str) -> None:
    # Timing fails no test: it is printed, and the figure to reach is 100 ms.
    opened(page, url, **{**PLATE, "/plate/length": "601 mm"}, pane="form")
    page.locator("#f-plate-length").focus()
    page.locator("#f-plate-length").fill("602")
    becomes(page, "#tape", "Length")
    becomes(page, "#moved", "602")
    took = [page.evaluate(TIMED) for _ in range(8)]
    assert all(one < 5000 for one in took)
    print(f"from keystroke to price: median {statistics.median(took):.0f} ms, worst {max(took):.0f} ms")


def test_nothing_moves_while_somebody_types_through_good_and_bad_entries(page: Page, url: str) -> None:
    opened(page, url, **PLATE, pane="form")
    expect(page.locator("#between")).to_contain_text("Still between")
    length = page.locator("#f-plate-length")
    length.focus()
    places: dict[str, Any] = page.evaluate(PLACES)
    for typed in ("7", "70", "700", "700 ", "700 m", "700 mm", "27 9/16 in", "9999"):
        length.fill(typed)
        page.wait_for_timeout(250)
        assert page.evaluate(PLACES) == places, typed


def test_a_question_does_not_change_under_an_answer_that_is_half_typed(page: Page, url: str) -> None:
    opened(page, url, **PLATE)
    expect(page.locator("#open li").first).to_be_visible()
    question = text(page, "#question")
    page.locator("#typed").fill("al")
    with page.expect_response("**/v1/questions"):
        page.evaluate(ELSEWHERE)
    becomes(page, "#each", "3 plates")
    assert text(page, "#question") == question
    expect(page.locator("#typed")).to_have_value("al")


def test_typing_on_in_one_field_is_one_step_of_the_call(page: Page, url: str) -> None:
    opened(page, url, **PLATE, pane="form")
    page.locator("#f-quantity").press_sequentially("12")
    becomes(page, "#each", "12 plates")
    expect(page.locator("#tape li")).to_have_count(1)
    page.locator("#f-quantity").blur()
    page.get_by_role("button", name="Undo").click()
    becomes(page, "#each", "One plate")
