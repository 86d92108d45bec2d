"""Outlines against a general library of geometry: distances, what they hold, and the rows that they take."""

from itertools import pairwise
from math import cos, inf, sin, tau

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon

from tallyplate.contract.outlines import Outline, Spot, between, crossing, farthest, inset, rectangle, runs

FINE = 256
"""Chords in a quarter of a circle where the library makes one of a point: no farther out than 2e-5 of its radius."""

PLACE = st.integers(-400, 400).map(lambda size: size / 4)
SPOTS = st.tuples(PLACE, PLACE)


@st.composite
def stars(draw: st.DrawFn) -> tuple[Spot, ...]:
    """A polygon about a place, mostly not convex, which cannot cross itself."""
    x, y = draw(SPOTS)
    reaches = draw(st.lists(st.integers(4, 200), min_size=3, max_size=12))
    turns = [tau * number / len(reaches) for number in range(len(reaches))]
    return tuple((x + r / 4 * cos(turn), y + r / 4 * sin(turn)) for r, turn in zip(reaches, turns, strict=True))


@st.composite
def outlines(draw: st.DrawFn) -> Outline:
    """A circle, a slot, a rectangle with round corners, or any polygon."""
    radius, (x, y) = draw(st.integers(1, 80)) / 4, draw(SPOTS)
    length, width = draw(st.integers(1, 300)) / 4, draw(st.integers(1, 300)) / 4
    round_one = rectangle(x, y, x + 2 * radius + length, y + 2 * radius + width, radius)
    slot = Outline(((x, y), (x + length, y + width)), radius)
    return draw(st.sampled_from((Outline(((x, y),), radius), slot, round_one, Outline(draw(stars())))))


def known(outline: Outline) -> Polygon:
    """The same as the library has it."""
    core = outline.core
    bare = Point(core[0]) if len(core) == 1 else LineString(core) if len(core) == 2 else Polygon(core)
    return bare.buffer(outline.radius, quad_segs=FINE) if outline.radius else bare


@given(outlines())
def test_area_and_length_are_those_of_a_general_library(outline: Outline) -> None:
    assert outline.area == pytest.approx(known(outline).area, rel=1e-4)
    assert outline.around == pytest.approx(known(outline).length, rel=1e-4)
    assert outline.box == pytest.approx(known(outline).bounds, abs=1e-4 * (1 + outline.radius))


@given(outlines(), SPOTS)
def test_how_far_a_place_is_apart(outline: Outline, spot: Spot) -> None:
    whole, place = known(outline), Point(spot)
    away = whole.distance(place) or -whole.exterior.distance(place)
    assert outline.apart(spot) == pytest.approx(away, abs=1e-3 * (1 + outline.radius))
    assert farthest(outline, spot) == pytest.approx(whole.hausdorff_distance(place), abs=1e-3 * (1 + outline.radius))


@given(outlines(), outlines(), st.sampled_from([0.0, 2.5, 40.0]))
def test_the_distance_of_two_outlines_or_that_they_are_farther_apart(
    one: Outline, other: Outline, within: float
) -> None:
    away, slack = known(one).distance(known(other)), 1e-3 * (1 + one.radius + other.radius)
    found = between(one, other, within)
    assert found == between(other, one, within) or found == pytest.approx(between(other, one, within))
    if found == inf:
        assert away >= within - slack
    else:
        assert max(found, 0.0) == pytest.approx(away, abs=slack)


@given(outlines(), st.integers(1, 60), st.sampled_from([0.0, 2.5, 9.0]), st.integers(-200, 200))
@example(rectangle(0, 0, 40, 30, 5), 10, 0.0, 0)
def test_the_places_of_a_row_near_an_outline_are_those_that_are_not_apart(
    outline: Outline, pitch: int, distance: float, start: int
) -> None:
    _, lower, _, upper = outline.box
    heights = [lower - 20 + start / 40 + row * pitch / 2 for row in range(int((upper - lower + 40) / pitch * 2) + 1)]
    found = runs(outline, heights, distance)
    assert all(one[1] < other[0] for stretches in found.values() for one, other in pairwise(stretches))
    for row, y in enumerate(heights):
        for column in range(80):
            x = outline.box[0] - 20 + column * (outline.box[2] - outline.box[0] + 40) / 79
            away = outline.apart((x, y)) - distance
            if abs(away) > 1e-6:
                assert (away < 0) == any(left <= x <= right for left, right in found.get(row, ()))


@given(stars())
def test_a_star_does_not_cross_itself_and_does_with_two_corners_exchanged(core: tuple[Spot, ...]) -> None:
    assert crossing(core) is None
    assert Polygon(core).is_valid
    if len(core) > 3:
        tangled = (core[1], core[0], *core[2:])
        assert (crossing(tangled) is None) == Polygon(tangled).is_valid


def test_sides_that_go_back_or_touch_are_crossings() -> None:
    assert crossing([(0, 0), (10, 0), (4, 0), (4, 5)]) == (0, 1)
    assert crossing([(0, 0), (10, 0), (10, 10), (5, 0), (0, 10)]) == (0, 2)


@given(st.integers(0, 100), st.integers(0, 60), st.integers(1, 30))
def test_how_far_within_a_box_with_round_corners_a_place_lies(x: int, y: int, corner: int) -> None:
    edge = known(rectangle(0, 0, 100, 60, corner))
    away = edge.exterior.distance(Point(x, y)) * (1 if edge.covers(Point(x, y)) else -1)
    assert inset((x, y), 100, 60, corner) == pytest.approx(away, abs=0.01)
