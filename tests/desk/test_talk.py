"""The talk leads: questions to be read out, answered in any order, and taken back."""

import re

import httpx
from playwright.sync_api import Page, expect

from tests.desk.browsing import PLATE, asked, becomes, opened, priced, text


def test_the_question_that_comes_first_is_the_one_that_the_service_puts_first(page: Page, url: str) -> None:
    with page.expect_request("**/v1/questions") as sent:
        opened(page, url)
    # Asked again, since a browser does not keep an answer for ever.
    first = httpx.post(sent.value.url, json=sent.value.post_data_json).json()["open"][0]
    assert asked(page) == first["question"]
    assert text(page, "#why") == first["why"]


def test_a_question_is_answered_by_choice(page: Page, url: str) -> None:
    opened(page, url)
    page.get_by_role("option", name=re.compile("Round plate")).click()
    becomes(page, "#said", "Round plate")
    expect(page.locator("#typed")).to_be_focused()


def test_a_question_is_answered_by_typing_the_beginning_of_an_answer(page: Page, url: str) -> None:
    opened(page, url)
    page.keyboard.press("Tab")
    page.locator("#typed").fill("tomb")
    page.keyboard.press("Enter")
    becomes(page, "#said", "Tombstone")


def test_a_figure_that_no_choice_lists_is_an_answer_too(page: Page, url: str) -> None:
    opened(page, url, **PLATE)
    page.locator("#open").get_by_role("button", name="Pitch", exact=True).click()
    page.locator("#typed").fill("37.5")
    becomes(page, "#typed-note", "37.5 mm")
    page.keyboard.press("Enter")
    becomes(page, "#said", "37.5 mm")


def test_what_is_no_answer_is_said_to_be_none_and_stays_typed(page: Page, url: str) -> None:
    opened(page, url)
    page.locator("#typed").fill("banana")
    page.keyboard.press("Enter")
    becomes(page, "#typed-note", "none of the answers")
    expect(page.locator("#typed")).to_have_value("banana")


def test_anything_may_be_answered_in_any_order(page: Page, url: str) -> None:
    opened(page, url, **PLATE)
    leading = asked(page)
    page.locator("#open").get_by_role("button", name="Finish", exact=True).click()
    becomes(page, "#question", "finish")
    page.locator("#typed").fill("hard")
    page.keyboard.press("Enter")
    becomes(page, "#said", "hard anodized")
    becomes(page, "#question", leading)


def test_an_answer_is_taken_back_and_is_open_again(page: Page, url: str) -> None:
    opened(page, url, **PLATE, **{"/plate/finish": "anodized"})
    dear = priced(page)
    page.get_by_role("button", name="Take back: Finish").click()
    becomes(page, "#open", "Finish")
    expect(page.locator("#total")).not_to_have_text(dear)
    expect(page.locator("#said")).not_to_contain_text("Finish")


def test_what_is_assumed_is_shown_as_assumed_and_what_is_supposed_as_supposed(page: Page, url: str) -> None:
    opened(page, url, **PLATE)
    pitch = page.locator("#open li:has([data-key='/plate/pattern/pitch'])")
    expect(pitch).to_contain_text("25.4 mm")
    expect(pitch).to_contain_text("assumed")
    opened(page, url, **{"/plate/family": "round"})
    becomes(page, "#each", "supposing")
    expect(page.locator("#open li:has([data-key='/plate/material'])")).to_contain_text("supposed")


def test_each_answer_shows_what_it_would_do_to_the_price_and_each_step_what_it_did(page: Page, url: str) -> None:
    opened(page, url, **PLATE)
    page.locator("#open").get_by_role("button", name="Bushings", exact=True).click()
    without = page.get_by_role("option", name=re.compile("^no"))
    total, difference = (without.locator(".figure").nth(place).inner_text() for place in (0, 1))
    assert difference.startswith("\u2212")
    without.click()
    becomes(page, "#total", total)
    becomes(page, "#moved", difference)
    becomes(page, "#tape li", "Bushings: no")
    becomes(page, "#tape li", difference)


def test_an_answer_that_cannot_be_made_is_said_to_be_one(page: Page, url: str) -> None:
    opened(page, url, **PLATE)
    page.locator("#open").get_by_role("button", name="Finished thickness").click()
    becomes(page, "#choices .because", "Cannot be made")
    page.get_by_role("option", name=re.compile("20 mm")).click()
    becomes(page, ".findings .error", "Cannot be made")


def test_undo_takes_the_last_step_back_and_redo_does_it_again(page: Page, url: str) -> None:
    opened(page, url, **PLATE)
    was = priced(page)
    page.locator("#open").get_by_role("button", name="Quantity").click()
    page.locator("#typed").fill("3")
    page.keyboard.press("Enter")
    becomes(page, "#each", "3 plates")
    page.keyboard.press("Control+z")
    becomes(page, "#total", was)
    page.get_by_role("button", name="Redo").click()
    becomes(page, "#each", "3 plates")
