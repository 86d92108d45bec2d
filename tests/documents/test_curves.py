"""The chart of a curve: every point where its figures put it, within the page, the same bytes every time."""

from decimal import Decimal
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from tallyplate.documents.curves import BOTTOM, TOP, Axis, Dot, curve
from tallyplate.documents.svg import DOWN, UP, WIDTH
from tests.documents.drawing import SVG, parsed, reaches, texts

AMOUNTS = st.integers(0, 10**9).map(lambda cents: Decimal(cents).scaleb(-2))
NUMBERS = st.lists(st.integers(1, 10**6).map(lambda many: Decimal(many) / 8), min_size=1, max_size=25, unique=True)
NAMES = st.text(alphabet=st.characters(), max_size=90) | st.sampled_from(("</text><script>", "&amp;", "]]>", '"/>'))


@st.composite
def dots(draw: st.DrawFn) -> list[Dot]:
    numbers = sorted(draw(NUMBERS))
    present = draw(st.integers(0, len(numbers) - 1))
    return [
        Dot(at, draw(AMOUNTS if place == present else st.none() | AMOUNTS), draw(st.booleans()), place == present)
        for place, at in enumerate(numbers)
    ]


FEW = [
    Dot(Decimal(10), Decimal("90.00"), sound=False),
    Dot(Decimal(20), Decimal("80.00"), present=True),
    Dot(Decimal(40), Decimal("60.00")),
    Dot(Decimal(80), None, sound=False),
]


def _marks(chart: str, **look: str) -> list[tuple[float, float]]:
    """Places of the marks in the chart, not in its legend."""
    return [
        (float(one.attrib["cx"]), float(one.attrib["cy"]))
        for one in parsed(chart).iter(f"{SVG}circle")
        if float(one.attrib["cy"]) > TOP - 1 and all(one.get(name) == value for name, value in look.items())
    ]


@settings(max_examples=25)
@given(NAMES, dots(), st.booleans())
def test_any_figures_and_names_make_plain_shapes_within_the_page(name: str, points: list[Dot], ratio: bool) -> None:
    chart = curve(name, name, points, Axis(name, ratio))
    assert chart == curve(name, name, list(points), Axis(name, ratio))
    shapes = {one.tag.removeprefix(SVG) for one in parsed(chart).iter()}
    assert shapes <= {"svg", "title", "desc", "style", "text", "line", "circle"}
    assert all(0 <= x <= WIDTH and TOP <= y <= BOTTOM for x, y in _marks(chart))
    assert not [said for left, right, said in reaches(chart) if left < -1 or right > WIDTH + 1]


@given(dots())
def test_a_dearer_point_lies_higher_and_a_larger_number_to_the_right(points: list[Dot]) -> None:
    marks = _marks(curve("", "", points, Axis(""))) if all(one.sound for one in points) else []
    rings = _marks(curve("", "", points, Axis("")), r="6.5")
    placed = [one for one in marks if one not in rings]
    priced = [one for one in points if one.amount is not None and not one.present]
    assert [x for x, _ in placed] == sorted(x for x, _ in placed)
    if len(placed) == len(priced):
        by_amount = sorted(zip(priced, placed, strict=True), key=lambda pair: pair[0].amount or 0)
        heights = [y for _, (_, y) in by_amount]
        assert heights == sorted(heights, reverse=True)


def test_the_present_point_is_ringed_and_says_what_it_comes_to() -> None:
    chart = curve("Price by pitch", "USD for 2 plates", FEW, Axis("Pitch, mm"))
    (ring,) = _marks(chart, r="6.5")
    assert ring in _marks(chart, fill=DOWN)
    said = texts(chart)
    for expected in ("Price by pitch", "USD for 2 plates", "Pitch, mm", "80.00", "10", "20", "40", "80"):
        assert expected in said


def test_points_that_cannot_be_made_look_different_and_the_legend_says_so() -> None:
    chart = curve("", "", FEW, Axis(""))
    assert len(_marks(chart, fill=DOWN)) == 2
    assert len(_marks(chart, stroke=UP)) == 1
    said = texts(chart)
    assert [words for words in said if words in {"can be made", "cannot be made", "has no price"}] == [
        "can be made",
        "cannot be made",
        "has no price",
    ]
    assert "cannot be made" not in texts(curve("", "", FEW[1:3], Axis("")))


def test_doubling_is_as_long_everywhere_where_numbers_lie_by_their_ratios() -> None:
    points = [Dot(Decimal(2) ** power, Decimal(power)) for power in range(5)]
    across = [x for x, _ in _marks(curve("", "", points, Axis("", ratio=True)))]
    steps = [round(b - a) for a, b in pairwise(across)]
    assert max(steps) - min(steps) <= 1
