"""A customer's own text is drawn along its side, within the outline, and is no coordinate of the schedule."""

import pytest

from tallyplate.asked import Made
from tallyplate.documents.drawings.shapes import Line, Text, breadth
from tallyplate.documents.measures import MEASURES
from tallyplate.documents.schedules.views import view_answers
from tests.documents.plates import drawn, dxf, svg
from tests.plates import installation, request

WORDS = "FX-1042 REV B"
BLOCK = {"family": "tombstone", "faces": 4, "face_width": "250 mm", "height": "450 mm", "material": "al-6061-t6"}


def _made(side: str) -> Made:
    marking = {"edges": ["left", "bottom"], "text": WORDS, "text_side": side}
    return installation().build(request({"/plate/marking": marking}))


@pytest.mark.parametrize("side", ["bottom", "top", "left", "right"])
def test_it_is_written_along_its_side_within_the_outline(side: str) -> None:
    shapes = list(drawn(_made(side)).shapes)
    (text,) = [one for one in shapes if isinstance(one, Text) and one.words == WORDS]
    lines = [one for one in shapes if isinstance(one, Line) and one.layer == "OUTLINE"]
    uprights = sorted(lines, key=lambda one: -abs(one.end[1] - one.start[1]))[:2]  # the plan is the tallest view
    left, right = sorted(one.start[0] for one in uprights)
    lower, upper = sorted((uprights[0].start[1], uprights[0].end[1]))
    half, (x, y) = breadth(WORDS, text.height) / 2, text.at
    if side in {"bottom", "top"}:
        assert text.angle == 0
        assert left < x - half < x + half < right
        assert (lower < y < lower + 5) if side == "bottom" else (upper - 5 < y + text.height < upper)
    else:
        assert text.angle == 90
        assert lower < y - half < y + half < upper
        assert (left < x - text.height < left + 5) if side == "left" else (right - 5 < x < right)


def test_both_formats_bear_it_once_and_so_does_a_block() -> None:
    block = installation().build({"plate": {**BLOCK, "marking": {"text": WORDS}}, "as_of": "2026-03-02"})
    for made in (_made("top"), block):
        assert svg(made).count(WORDS) == 1
        assert dxf(made).count(WORDS) == 1


def test_the_schedule_names_sides_with_coordinates_alone() -> None:
    plain = view_answers(
        installation().build(request({"/plate/marking": {"edges": ["left", "bottom"]}})).build, MEASURES["mm"]
    )
    assert view_answers(_made("top").build, MEASURES["mm"]) == plain
