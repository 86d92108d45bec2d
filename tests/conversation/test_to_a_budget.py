"""From nothing to a full spec within a budget, by the service's own first question each time."""

from decimal import Decimal
from itertools import pairwise
from typing import Any, Final

import pytest

from tallyplate.http.app import create_app
from tests.plates import installation
from tests.serving import asking
from tests.tradeoffs.questions import Json, answering, plain, priced, span

BUDGET: Final = Decimal("2400.00")
WISHES: Final = {
    "/plate/family": "rectangular",
    "/plate/length": "480 mm",
    "/plate/width": "16 in",
    "/plate/material": "al-6061-t6",
    "/quantity": 1,
    "/need_by": "2026-04-30",
}
"""What the customer knows without asking; a length that is none of those tried is an answer too."""

MOST_QUESTIONS: Final = 40


def _answer(question: Json) -> Any:
    """What the customer wishes; else the usual within the budget, the most that it allows, or the least there is."""
    if question["pointer"] in WISHES:
        return WISHES[question["pointer"]]
    impossible = [plain(one["value"]) for one in question["impossible"]]
    can_be_made = {value: total for value, total in priced(question).items() if value not in impossible}
    within = {value: total for value, total in can_be_made.items() if total <= BUDGET}
    if plain(question["usual"]) in within:
        return plain(question["usual"])
    return max(within, key=within.__getitem__) if within else min(can_be_made, key=can_be_made.__getitem__)


@pytest.mark.slow
def test_the_first_question_each_time_leads_from_nothing_to_a_full_spec_within_the_budget() -> None:
    ask = asking(create_app(installation()))
    request: Json = {"as_of": "2026-03-02"}
    spans: list[tuple[Decimal, Decimal]] = []
    order: list[str] = []
    while True:
        response = ask("POST", "/v1/questions", json=request)
        assert response.status_code == 200, response.text
        answer = response.json()
        spans.append(span(answer))
        if not answer["open"]:
            break
        assert len(spans) <= MOST_QUESTIONS, order
        question = answer["open"][0]
        assert question["pointer"] not in order, "asked twice"
        order.append(question["pointer"])
        value = f"{BUDGET} USD" if question["pointer"] == "/budget" else _answer(question)
        request = answering(request, question["pointer"], value)

    final = ask("POST", "/v1/prices", json=request).json()
    total = Decimal(final["total"])
    assert total <= BUDGET
    assert not [one for one in final["findings"] if one["severity"] == "error" or one["code"] == "over-budget"]
    assert {one["pointer"].rpartition("/")[2] for one in final["assumed"]} <= {"margin"}
    assert spans[-1] == (total, total)
    for (lowest, highest), (later_lowest, later_highest) in pairwise(spans):
        assert lowest <= later_lowest <= total <= later_highest <= highest
    assert order[0] == "/plate/family"
    assert set(order[1:4]) == {"/plate/length", "/plate/width", "/plate/material"}
    assert {"/plate/thickness", "/plate/pattern/pitch", "/plate/pattern/screw", "/plate/pattern/arrangement"} <= set(
        order
    )
    assert {"/plate/mounting/surface", "/plate/mounting/locate", "/plate/mounting/screw"} <= set(order)
    assert {"/plate/marking/edges", "/plate/position_tolerance", "/plate/finish", "/quantity"} <= set(order)
    assert {"/need_by", "/budget"} <= set(order)
