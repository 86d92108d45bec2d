"""Law 9: in a plate that is priced without an error, no hole overlaps another, an edge, or a mounting hole.

The holes are put down here one by one from what a build says of them, and every pair is looked at: slow, and by other
means than the service's own checks, which count in closed form.
"""

import json
from itertools import combinations
from math import hypot

from hypothesis import assume, given, settings
from shapely import Point, box

from tallyplate.contract import Build, HoleGroup, Lattice
from tests.laws.prices import answered, made
from tests.strategies import AS_OF, SHOP, Json, plates

Drilled = tuple[float, float, float]
"""Where a hole is and the radius of its mouth, in mm."""

SLACK = 1e-5
"""A hundredth of a micrometre, for binary fractions."""
FEW = 400
"""Holes up to which all pairs are looked at."""


def drilled(group: HoleGroup) -> list[Drilled]:
    """Every hole of a group."""
    hole, layout = group.hole, group.layout
    widest = max(bore.diameter for bore in hole.bores)
    radius = max(widest, hole.thread.major if hole.thread else 0.0) / 2
    if not isinstance(layout, Lattice):
        return [(x, y, radius) for x, y in layout.at]
    colour = {"all": (0, 1), "even": (0,), "odd": (1,)}[layout.taken.value]
    return [
        (layout.x + column * layout.pitch_x, layout.y + row * layout.pitch_y, radius)
        for column in range(layout.columns)
        for row in range(layout.rows)
        if (column + row) % 2 in colour and (column, row) not in layout.without
        if column not in layout.bare_columns and row not in layout.bare_rows
    ]


def holes(build: Build) -> list[Drilled]:
    """Every hole of a plate."""
    return [hole for group in build.holes for hole in drilled(group)]


def thinnest_wall(build: Build) -> float:
    """Least solid between any two holes; negative where they overlap."""
    pairs = combinations(holes(build), 2)
    return min((hypot(x2 - x1, y2 - y1) - r1 - r2 for (x1, y1, r1), (x2, y2, r2) in pairs), default=float("inf"))


def thinnest_edge(build: Build) -> float:
    """Least solid between a hole and an edge; negative where a hole breaks out."""
    length, width = build.body.length, build.body.width
    return min((min(x, y, length - x, width - y) - r for x, y, r in holes(build)), default=float("inf"))


def errors(plate: Json) -> set[str]:
    """The codes of what a price says cannot be made."""
    answer = json.loads(answered({"plate": plate, "as_of": AS_OF}))
    return {finding["code"] for finding in answer["findings"] if finding["severity"] == "error"}


@settings(max_examples=150)
@given(plates())
def test_nothing_overlaps_in_a_plate_priced_without_an_error(plate: Json) -> None:
    build = made(plate)
    assume(sum(group.count for group in build.holes) <= FEW)
    if not errors(plate):
        assert thinnest_wall(build) >= SHOP.walls.between_holes - SLACK
        assert thinnest_edge(build) >= SHOP.walls.to_edge - SLACK


@settings(max_examples=20)
@given(plates())
def test_holes_put_down_one_by_one_are_as_many_as_were_counted_and_lie_apart_as_shapely_says(plate: Json) -> None:
    build = made(plate)
    put_down = holes(build)
    assert len(put_down) == sum(group.count for group in build.holes)
    assume(2 <= len(put_down) <= 60)
    # Shapely (GEOS) measures between outlines of its own.
    outline = box(0, 0, build.body.length, build.body.width).exterior
    centers = [(Point(x, y), radius) for x, y, radius in put_down]
    walls = [one.distance(other) - r1 - r2 for (one, r1), (other, r2) in combinations(centers, 2)]
    assert abs(thinnest_wall(build) - min(walls)) < SLACK
    if thinnest_edge(build) > 0:
        edges = [outline.distance(center) - radius for center, radius in centers]
        assert abs(thinnest_edge(build) - min(edges)) < SLACK
