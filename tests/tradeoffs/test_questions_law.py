"""The law of open questions: no answer widens the range of the price so far, and no completion lies outside it.

A completion answers every open question with one of its answers, or with any length or number between the ends of a
range; what nobody asks for stays as it is. Conversations are drawn: which question is answered next, and with what.
"""

from decimal import Decimal
from typing import Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.tradeoffs.questions import UNPRICED, Json, answering, asked, first_priced, some_answer, span, total

pytestmark = pytest.mark.slow

STEEL: Final = {"material": "steel-1018", "position_tolerance": "0.05 mm", "flatness": "0.05 mm", "finish": "plain"}
LIGHT: Final = STEEL | {"material": "al-6061-t6"}
UNMARKED: Final[Json] = {"marking": {"edges": []}}
ALTERNATING: Final = {"arrangement": "alternating", "screw": "M12", "bushings": True, "thread_inserts": False}

STARTS: Final[dict[str, Json]] = {
    "sizes": {
        "plate": LIGHT | UNMARKED | {"family": "rectangular", "pattern": ALTERNATING, "mounting": {"surface": "none"}}
    },
    "pattern": {
        "plate": LIGHT
        | UNMARKED
        | {
            "family": "rectangular",
            "length": "500 mm",
            "width": "300 mm",
            "thickness": "40 mm",
            "mounting": {"surface": "none"},
        },
        "quantity": 3,
    },
    "mounting": {
        "plate": STEEL
        | UNMARKED
        | {
            "family": "rectangular",
            "length": "500 mm",
            "width": "300 mm",
            "thickness": "40 mm",
            "pattern": ALTERNATING | {"pitch": "50 mm"},
        },
        "quantity": 1,
    },
    "disc": {"plate": {"family": "round", "pattern": ALTERNATING, "material": "al-5083"} | UNMARKED, "quantity": 2},
    "block": {
        "plate": STEEL
        | UNMARKED
        | {
            "family": "tombstone",
            "faces": 4,
            "made_from": "stock",
            "pattern": ALTERNATING,
            "base": {"overhang": "60 mm", "screw": "M16", "locate": "pins", "thickness": "40 mm"},
            "lifting_screw": "M16",
        },
        "quantity": 1,
    },
}
"""Where conversations begin: part of the way, so that their steps are quick; a test of its own begins with nothing."""


def _questions(answer: Json) -> list[Json]:
    return [one for one in answer["open"] if one["pointer"] not in UNPRICED]


@st.composite
def completions(draw: st.DrawFn, request: Json, answer: Json) -> Json:
    """Its open questions answered in any order, as far as the answers go together; the others stay as usual."""
    for question in draw(st.permutations(_questions(answer))):
        value = some_answer(draw, question)
        stands_in = question.get("supposed")
        others = [answering(request, question["pointer"], stands_in)] if stands_in is not None else [request]
        request = _together([answering(request, question["pointer"], value), *others], answer)
    return request


def _together(requests: list[Json], answer: Json) -> Json:
    """The first of some requests that can be priced once its sizes are said."""
    needed = {one["pointer"]: one["supposed"] for one in _questions(answer) if one["needed"]}

    def sized(request: Json) -> Json:
        for pointer, value in needed.items():
            name = pointer.removeprefix("/plate/")
            if name not in request["plate"]:
                request = answering(request, pointer, value)
        return request

    good = first_priced(map(sized, requests))
    return next(one for one in requests if sized(one) == good)


@pytest.mark.parametrize("start", STARTS)
@settings(max_examples=6)
@given(data=st.data())
def test_no_answer_widens_the_range_and_no_completion_lies_outside_it(start: str, data: st.DataObject) -> None:
    request = STARTS[start]
    answer = asked(request)
    lowest, highest = span(answer)
    for _ in range(3):
        for _ in range(4):
            final = data.draw(completions(request, answer))
            assert lowest <= total(final) <= highest, final
        if not _questions(answer):
            break
        question = data.draw(st.sampled_from(_questions(answer)))
        request = answering(request, question["pointer"], data.draw(st.composite(some_answer)(question)))
        answer = asked(request)
        later_lowest, later_highest = span(answer)
        assert lowest <= later_lowest <= later_highest <= highest, request
        lowest, highest = later_lowest, later_highest
        for one in answer["open"]:
            assert lowest <= Decimal(one["lowest"]) <= Decimal(one["highest"]) <= highest, one
