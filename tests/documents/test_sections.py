"""Sections: steps stand at the depths and diameters that they have."""

from typing import Any

import pytest

from tallyplate.contract import Bore, Hole, Thread
from tallyplate.documents.drawings.hatching import hatched
from tallyplate.documents.drawings.paper import ratio
from tallyplate.documents.drawings.sections import cuts, section
from tallyplate.documents.drawings.shapes import Line, Shape, Text
from tallyplate.documents.measures import MEASURES
from tallyplate.documents.schedules.holes import hole_types
from tests.documents.plates import BASES, drawn, made

MM = MEASURES["mm"]
BOX = (0.0, 0.0, 80.0, 80.0)
COMBINATION = Hole((Bore(10.0, 40.0), Bore(26.0, 16.0, 0.021)), Thread("M12", 12.0, 1.75, 20.0), size="M12")
BLIND = Hole((Bore(20.0, 30.0, 0.021),), through=False)


def _drawn(hole: Hole, solid: float = 40.0) -> tuple[list[Shape], float]:
    """The shapes, and the scale that the caption names."""
    shapes = list(section(hole, solid, BOX, "Section 1", MM))
    (caption,) = [shape.words for shape in shapes if isinstance(shape, Text) and shape.layer == "SECTION_NOTES"]
    return shapes, ratio(caption.removeprefix("Section 1, "))


def _across(shapes: list[Shape], layers: set[str]) -> set[tuple[float, float]]:
    """Length and height of level lines, in mm of paper."""
    return {
        (round(abs(shape.end[0] - shape.start[0]), 6), round(shape.start[1], 6))
        for shape in shapes
        if isinstance(shape, Line) and shape.layer in layers and shape.start[1] == shape.end[1]
    }


def test_edges_lie_as_deep_as_the_steps_end() -> None:
    shapes, scale = _drawn(COMBINATION)
    levels = _across(shapes, {"SECTION", "THREADS"})
    face = max(y for _, y in levels)
    deep = {round((face - y) / scale, 6): round(length / scale, 6) for length, y in sorted(levels)}
    assert deep[16.0] == 26.0
    assert deep[36.0] == 12.0
    assert set(deep) == {0.0, 16.0, 36.0, 40.0}


def test_the_threads_lines_run_over_its_length_at_its_diameter() -> None:
    shapes, scale = _drawn(COMBINATION)
    upright = [
        shape
        for shape in shapes
        if isinstance(shape, Line) and shape.layer == "THREADS" and shape.start[0] == shape.end[0]
    ]
    assert [round((one.start[1] - one.end[1]) / scale, 6) for one in upright] == [20.0, 20.0]
    left, right = sorted(one.start[0] for one in upright)
    assert (right - left) / scale == pytest.approx(12.0)


def test_a_blind_hole_ends_in_its_point_within_the_solid() -> None:
    shapes, scale = _drawn(BLIND, solid=60.0)
    walls = [shape for shape in shapes if isinstance(shape, Line) and shape.layer == "SECTION"]
    face = max(one.start[1] for one in walls)
    deepest = max((face - min(one.start[1], one.end[1])) / scale for one in walls)
    # A point of 118 degrees is as high as the radius over tan 59 degrees: 10 / 1.664 = 6.01 (plane geometry).
    assert deepest == pytest.approx(36.0, abs=0.02)


@pytest.mark.parametrize("hole", [COMBINATION, BLIND], ids=["combination", "blind"])
def test_figures_say_the_diameters_and_the_depths_of_what_does_not_go_through(hole: Hole) -> None:
    shapes, _ = _drawn(hole)
    said = [shape.words for shape in shapes if isinstance(shape, Text)]
    expected = {"Ø10", "Ø26", "M12", "16", "36"} if hole is COMBINATION else {"Ø20", "30"}
    assert set(said[:-1]) == expected


def test_what_is_seen_of_a_bore_begins_where_the_wider_one_ends() -> None:
    assert {cut.words: (cut.top, cut.depth) for cut in cuts(COMBINATION, MM)} == {
        "Ø10": (16.0, 40.0),
        "M12": (16.0, 36.0),
        "Ø26": (0.0, 16.0),
    }


@pytest.mark.parametrize("name", BASES)
def test_there_is_a_section_for_each_type_of_hole_and_a_row_of_the_table(name: str) -> None:
    texts = [shape for shape in drawn(made(name)).shapes if isinstance(shape, Text)]
    captions = [text.words.split(",")[0] for text in texts if text.layer == "SECTION_NOTES"]
    types = hole_types(made(name).build)
    assert captions == [f"Section {one.number}" for one in types]
    numbers = [text.words for text in texts if text.layer == "HOLE_TABLE"]
    for one in types:
        assert str(one.number) in numbers
        assert str(one.count) in numbers


@pytest.mark.parametrize("name", BASES)
@pytest.mark.parametrize("unit", ["mm", "in"])
def test_sections_keep_to_their_column(name: str, unit: str) -> None:
    sheet = drawn(made(name), unit=unit)
    spots: list[Any] = [
        shape.start
        for shape in sheet.shapes
        if isinstance(shape, Line) and shape.layer in {"SECTION", "HATCH", "THREADS"}
    ]
    assert min(x for x, _ in spots) > 0.68 * sheet.width
    assert max(x for x, _ in spots) < sheet.width - 10


def test_hatching_fills_a_polygon_and_nothing_else() -> None:
    lines = list(hatched(((0.0, 0.0), (20.0, 0.0), (20.0, 20.0), (10.0, 20.0), (10.0, 10.0), (0.0, 10.0))))
    assert lines
    for one in lines:
        for x, y in (one.start, one.end):
            assert -1e-9 <= x <= 20 + 1e-9
            assert -1e-9 <= y <= 20 + 1e-9
        middle = ((one.start[0] + one.end[0]) / 2, (one.start[1] + one.end[1]) / 2)
        assert not (middle[0] < 10 < middle[1])
    long = sum(((one.end[0] - one.start[0]) ** 2 * 2) ** 0.5 for one in lines)
    # Lines 2 mm apart over 300 mm2 are about 150 mm long together.
    assert long == pytest.approx(150, rel=0.15)
