"""Failure is friendly: it is said where it belongs, it is tried again, and nothing that was typed is lost."""

import re

from playwright.sync_api import Page, Route, expect

from tests.desk.browsing import PLATE, address, becomes, opened, priced

PATIENCE = {"type": "/problems/too-many-requests", "title": "Too many requests", "status": 429, "detail": "slower"}


def test_a_service_that_is_down_is_said_to_be_and_tried_again_until_it_answers(page: Page, url: str) -> None:
    opened(page, url, **PLATE, pane="form")
    page.route("**/v1/**", lambda route: route.abort("connectionrefused"))
    page.locator("#f-quantity").fill("4")
    becomes(page, "#trouble", "does not answer")
    becomes(page, "#trouble", "is kept")
    expect(page.locator("#f-quantity")).to_have_value("4")
    page.unroute("**/v1/**")
    becomes(page, "#each", "4 plates")
    expect(page.locator("#trouble")).to_be_hidden()


def test_a_service_that_asks_for_patience_is_asked_again_when_it_said(page: Page, url: str) -> None:
    opened(page, url, **PLATE, pane="form")
    times: list[str] = []

    def refuse_once(route: Route) -> None:
        times.append(route.request.url)
        if len(times) > 1:
            route.continue_()
            return
        headers = {"content-type": "application/problem+json", "retry-after": "3"}
        route.fulfill(status=429, headers=headers, json=PATIENCE)

    page.route("**/v1/prices", refuse_once)
    page.locator("#f-quantity").fill("4")
    becomes(page, "#trouble", "in 3 s")
    becomes(page, "#each", "4 plates")
    assert len(times) > 1


def test_an_invalid_entry_is_said_beside_its_field_and_the_last_price_stands(page: Page, url: str) -> None:
    opened(page, url, **PLATE, pane="form")
    price, width = priced(page), page.locator("#f-plate-width")
    width.fill("45O")
    becomes(page, "#f-plate-width-wrong", "not a length")
    expect(width).to_have_attribute("aria-invalid", "true")
    becomes(page, "#total", price)
    becomes(page, "#between", "last complete entry")
    becomes(page, "#said-urgently", "Width")
    width.blur()
    expect(width).to_have_value("45O")
    width.fill("450")
    expect(page.locator("#f-plate-width-wrong")).to_be_hidden()


def test_in_the_talk_what_is_refused_is_said_at_the_question(page: Page, url: str) -> None:
    page.goto(address(url, **{**PLATE, "/plate/length": "3900 mm"}))
    becomes(page, "#talk-wrong", re.compile("Length.*largest"))


def test_a_refused_answer_is_asked_for_again_before_any_other_question(page: Page, url: str) -> None:
    opened(page, url, **PLATE, **{"/plate/mounting/surface": "t_slots"})
    expect(page.locator("#open li").first).to_be_visible()
    price = priced(page)
    page.locator("#open").get_by_role("button", name="Slot width").click()
    page.locator("#typed").fill("450")
    page.keyboard.press("Enter")
    becomes(page, "#talk-wrong", "Slot spacing: 100 mm leaves nothing between them; accepted: more than 450 mm")
    becomes(page, "#question", "How far apart are the slots")
    becomes(page, "#decides", "Refused")
    becomes(page, "#total", price)
    expect(page.locator("#price")).to_have_class(re.compile("stale"))
    expect(page.locator("#leave")).to_be_disabled()
    page.locator("#typed").fill("500")
    page.keyboard.press("Enter")
    becomes(page, "#tape", "Slot spacing: 500 mm")
    expect(page.locator("#talk-wrong")).to_be_hidden()
    expect(page.locator("#price")).not_to_have_class(re.compile("stale"))
    expect(page.locator("#decides")).not_to_have_text("Refused")


def test_an_answer_beyond_sense_is_taken_back_by_leaving_its_question_open(page: Page, url: str) -> None:
    opened(page, url, **{name: value for name, value in PLATE.items() if name not in {"/plate/length", "/plate/width"}})
    becomes(page, "#question", "How long is the plate")
    page.locator("#typed").fill("999999999")
    page.keyboard.press("Enter")
    becomes(page, "#talk-wrong", "Length: '999999999 mm' is out of range")
    becomes(page, "#question", "How long is the plate")
    becomes(page, "#between", "last complete entry")
    page.locator("#leave").click()
    expect(page.locator("#talk-wrong")).to_be_hidden()
    expect(page.locator("#said")).not_to_contain_text("999999999")


def test_a_call_that_begins_refused_asks_for_what_is_refused(page: Page, url: str) -> None:
    page.goto(address(url, **{**PLATE, "/plate/length": "999999999 mm"}))
    becomes(page, "#question", "What is to stand for \u201cLength\u201d instead?")
    becomes(page, "#between", "once what is refused is put right")
    page.locator("#typed").fill("700")
    page.keyboard.press("Enter")
    priced(page)
    expect(page.locator("#question")).not_to_contain_text("instead")


def test_what_is_refused_as_a_whole_leaves_no_moment_to_wait_for(page: Page, url: str) -> None:
    page.goto(address(url, **PLATE, **{"/plate/marking": "~[]"}))
    becomes(page, "#question", "Something that was said has to be changed.")
    becomes(page, "#talk-wrong", "Marking")
    page.locator("#said").get_by_role("button", name="Take back: Marking").click()
    priced(page)
    becomes(page, "#decides", "Decides")


def test_a_service_that_may_not_say_its_questions_is_not_waited_for(page: Page, url: str) -> None:
    refusal = {"type": "/problems/forbidden", "title": "Forbidden", "status": 403, "detail": "not with this key"}
    page.route("**/v1/questions", lambda route: route.fulfill(status=403, json=refusal))
    page.route("**/v1/families", lambda route: route.abort())
    page.goto(address(url, **PLATE))
    becomes(page, "#question", "The service has not answered.")


def test_what_a_service_says_of_markup_stays_text(page: Page, url: str) -> None:
    page.goto(address(url, **PLATE, **{"/plate/finish": "<img src=x onerror=alert(1)>"}))
    becomes(page, "#said", "<img src=x onerror=alert(1)>")
    expect(page.locator("img")).to_have_count(0)


def test_two_failures_in_a_row_wait_longer_and_try_now_does_not_wait(page: Page, url: str) -> None:
    opened(page, url, **PLATE, pane="form")
    page.route("**/v1/**", lambda route: route.abort("connectionrefused"))
    page.locator("#f-quantity").fill("5")
    becomes(page, "#trouble", re.compile("again in (5|10|20) s"))
    page.unroute("**/v1/**")
    page.get_by_role("button", name="Try now").click()
    becomes(page, "#each", "5 plates")
