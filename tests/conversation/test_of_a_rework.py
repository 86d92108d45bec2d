"""From no more than its kind to a rework of something, by the service's own first question each time."""

from typing import Any

from tests.plates import installation
from tests.tradeoffs.questions import Json, answering, asked, plain, priced

MOST_QUESTIONS = 40


def _answer(question: Json) -> Any:
    """What stands in for it; else the cheapest answer that can be made."""
    if "supposed" in question or "usual" in question:
        return question.get("supposed", question.get("usual"))
    impossible = [plain(one["value"]) for one in question["impossible"]]
    can_be_made = {value: total for value, total in priced(question).items() if value not in impossible}
    return min(can_be_made, key=can_be_made.__getitem__)


def test_what_shall_be_done_is_asked_so_that_no_order_is_for_nothing() -> None:
    request: Json = {"plate": {"family": "rework"}, "as_of": "2026-03-02"}
    order: list[str] = []
    while answer := asked(request)["open"]:
        assert len(order) < MOST_QUESTIONS
        question = answer[0]
        order.append(question["pointer"])
        if question["pointer"] == "/budget":
            request = answering(request, "/budget", "99999.00 USD")
        else:
            request = answering(request, question["pointer"], _answer(question))
    assert order[4] == "/plate/pattern/pitch"
    codes = {one.code for one in installation().price(request).findings}
    assert "nothing-to-rework" not in codes
    assert "old-holes" in codes
