"""What somebody builds from stands whole on every paper, within the frame, and with nothing drawn through it."""

import json
from functools import cache
from itertools import combinations
from typing import Any, Final

import pytest

from tallyplate.asked import Made
from tallyplate.documents.drawings.hole_table import table_height
from tallyplate.documents.drawings.layout import MARGIN
from tallyplate.documents.drawings.paper import DrawingOptions, ratio
from tallyplate.documents.drawings.plan import BESIDE
from tallyplate.documents.drawings.sections import SPECK
from tallyplate.documents.drawings.shapes import Circle, Line, Text, breadth, wrapped
from tallyplate.documents.drawings.sheet import Sheet, sheet
from tallyplate.documents.measures import MEASURES
from tallyplate.documents.schedules.holes import hole_types
from tests.documents.group_codes import section
from tests.documents.plates import BASES, drawn, dxf
from tests.plates import EXAMPLES, installation, request

ELLIPSIS: Final = "\u2026"
STEEL: Final = {"/plate/material": "steel-4140"}
OUTLINE: Final = [{"x": f"{x} mm", "y": f"{y} mm"} for x, y in ((100, 100), (200, 100), (200, 160), (100, 160))]
FEATURES: Final[list[dict[str, Any]]] = [
    {"feature": "pocket", "outline": OUTLINE, "depth": "12 mm", "corner_radius": "3 mm"},
    {
        "feature": "pocket", "at": {"x": "500 mm", "y": "310 mm"}, "length": "120 mm", "width": "60 mm",
        "depth": "12 mm", "corner_radius": "8 mm",
    },
]  # fmt: skip
ASKED: Final[dict[str, dict[str, Any]]] = {
    "featured": request({**STEEL, "/plate/features": FEATURES}),
    "keyed": request(
        {
            "/plate": {
                "family": "rectangular", "length": "800 mm", "width": "500 mm", "thickness": "40 mm",
                "material": "steel-4140",
                "mounting": {
                    "surface": "t_slots", "slot_width": "18 mm", "slot_spacing": "100 mm", "locate": "keys",
                },
            }
        }
    ),
    "six faces": {
        "plate": {
            "family": "tombstone", "faces": 6, "face_width": "200 mm", "height": "500 mm", "material": "steel-1018",
            "hollow": True, "wall": "45 mm",
        },
        "as_of": "2026-03-02",
    },
    "zones": request(
        {
            "/plate": {
                "family": "rectangular", "length": "800 mm", "width": "500 mm", "material": "al-6061-t6",
                "zones": [
                    {
                        "length": "300 mm", "width": "300 mm", "corner": {"x": f"{x} mm", "y": "100 mm"},
                        "pattern": {"pitch": "40 mm", "screw": "M10", "arrangement": "combination"},
                    }
                    for x in (50, 450)
                ],
            }
        }
    ),
    "many circles": {
        "plate": {
            "family": "round", "diameter": "600 mm", "material": "al-6061-t6",
            "bolt_circles": [
                {"diameter": f"{across} mm", "count": 6, "screw": "M10", "kind": "tapped"}
                for across in (177, 253, 329, 403, 479, 551)
            ],
        },
        "as_of": "2026-03-02",
    },
    "steel in inches": json.loads((EXAMPLES / "steel-in-inches.json").read_text()),
    **{name: BASES[name] for name in ("alternating", "separate", "round", "tombstone")},
}  # fmt: skip
SHEETS: Final = [
    (name, paper, unit)
    for name in ASKED
    for paper, unit in (("A3", "mm"), ("A4", "in"), ("A4", "mm"), ("ANSI A", "in"))
]
EVERY: Final = pytest.mark.parametrize(("name", "paper", "unit"), SHEETS)
Box = tuple[float, float, float, float]


@cache
def _made(name: str) -> Made:
    return installation().build(ASKED[name])


def _texts(of: Sheet, *layers: str) -> list[Text]:
    return [shape for shape in of.shapes if isinstance(shape, Text) and (not layers or shape.layer in layers)]


def _said(of: Sheet, *layers: str) -> str:
    return " ".join(text.words for text in _texts(of, *layers))


def _box(text: Text) -> Box:
    """Left, lower, right and upper of a text, as wide as it is laid out."""
    long = breadth(text.words, text.height)
    before = {"start": 0.0, "middle": long / 2, "end": long}[text.anchor]
    x, y = text.at
    if text.angle:
        return x - text.height, y - before, x, y - before + long
    return x - before, y, x - before + long, y + text.height


def _overlap(one: Box, other: Box, by: float = 0.3) -> bool:
    return all(min(one[axis + 2], other[axis + 2]) - max(one[axis], other[axis]) > by for axis in (0, 1))


@EVERY
def test_nothing_that_is_built_from_is_shortened_and_all_of_it_is_within_the_frame(
    name: str, paper: str, unit: str
) -> None:
    of = drawn(_made(name), paper=paper, unit=unit)
    for text in _texts(of):
        assert ELLIPSIS not in text.words
        left, lower, right, upper = _box(text)
        assert left > MARGIN - 1, text
        assert lower > MARGIN - 1, text
        assert right < of.width - MARGIN + 1, text
        assert upper < of.height - MARGIN + 1, text


@EVERY
def test_no_figure_stands_on_another_and_no_level_or_upright_line_runs_through_one(
    name: str, paper: str, unit: str
) -> None:
    of = drawn(_made(name), paper=paper, unit=unit)
    first = of.views[0].box[0]
    figures = [_box(text) for text in _texts(of, "DIMENSIONS") if text.at[0] < of.width * 0.65]
    assert first > 0
    assert not [pair for pair in combinations(figures, 2) if _overlap(*pair)]
    for line in of.shapes:
        if isinstance(line, Line) and line.layer == "DIMENSIONS":
            (x1, y1), (x2, y2) = sorted((line.start, line.end))
            if x1 == x2 or y1 == y2:
                span = x1 - 0.2, min(y1, y2) - 0.2, x2 + 0.2, max(y1, y2) + 0.2
                assert not [box for box in figures if _overlap(span, box)], line


@pytest.mark.parametrize("paper", ["A3", "A4", "ANSI A"])
def test_a_pockets_size_depth_corners_and_middle_are_in_the_notes(paper: str) -> None:
    said = _said(drawn(_made("featured"), paper=paper), "NOTES")
    assert (
        "Pocket outline of 4 corners within 100 \u00d7 60, 12 deep, corners R3, top face, middle at 150, 130." in said
    )
    assert "Pocket 120 \u00d7 60, 12 deep, corners R8, top face, middle at 500, 310." in said


@pytest.mark.parametrize("paper", ["A3", "A4", "ANSI A"])
def test_material_and_size_stand_whole_in_the_title_block(paper: str) -> None:
    said = _said(drawn(_made("keyed"), paper=paper, unit="in"), "TITLE_BLOCK")
    assert _made("keyed").shop.materials["steel-4140"].title in said
    assert "31.4961 \u00d7 19.685 \u00d7 1.5748" in said


def test_more_features_than_the_notes_have_room_for_are_counted() -> None:
    asked = [
        FEATURES[1] | {"at": {"x": f"{x} mm", "y": f"{y} mm"}, "length": "60 mm", "width": "40 mm"}
        for x in (100, 200, 300, 400, 500, 600)
        for y in (100, 200)
    ]
    one = installation().build(request({"/plate/features": asked}))
    notes = {paper: _said(drawn(one, paper=paper), "NOTES") for paper in ("A4", "A2")}
    told = notes["A4"].count("Pocket")
    assert 0 < told < notes["A2"].count("Pocket") == len(asked)
    assert f"{len(asked) - told} more pockets, slots and cut-outs: see the hole schedule." in notes["A4"]


def test_names_that_customers_give_are_shortened() -> None:
    of = drawn(_made("keyed"), title="W" * 200, number="W" * 200)
    assert sum(ELLIPSIS in text.words for text in _texts(of)) == 2


def test_a_warning_is_in_words_and_whole() -> None:
    one = _made("keyed")
    codes = "thin-wall", "slot-screw", "feature-wall", "beyond-travel", "beyond-load", "loose-piece"
    of = sheet(one.build, one.shop, 1, one.as_of, DrawingOptions(paper="A4"), codes)
    warned = _texts(of, "WARNING")
    assert len(warned) > 1
    words = "thin wall, slot screw, feature wall, beyond travel, beyond load, loose piece"
    assert _said(of, "WARNING") == f"NOT FOR MANUFACTURE: {words}"
    assert all(_box(text)[2] < of.width - MARGIN for text in warned)
    highest = max(_box(text)[3] for text in _texts(of, "NOTES"))
    assert highest < min(_box(text)[1] for text in warned)


def test_a_row_of_the_table_grows_with_the_lines_of_its_steps() -> None:
    build, measure = _made("keyed").build, MEASURES["in"]
    heights = [table_height(build, wide, measure) for wide in (120.0, 50.0, 40.0)]
    assert heights == sorted(set(heights))


@pytest.mark.parametrize("projection", ["first_angle", "third_angle"])
def test_the_projections_symbol_stands_beside_its_words(projection: str) -> None:
    of = drawn(_made("six faces"), paper="A4", projection=projection)
    (words,) = [text for text in _texts(of) if text.words == projection.replace("_", " ")]
    across = [
        spot[0]
        for shape in of.shapes
        if isinstance(shape, Line) and shape.layer == "CENTER_LINES"
        for spot in (shape.start, shape.end)
        if spot[0] > words.at[0] and spot[1] < words.at[1] + 10
    ]
    rounds = [shape.centre[0] - shape.radius for shape in of.shapes if isinstance(shape, Circle)]
    cell = [at for at in rounds if at > words.at[0]]
    assert cell
    assert _box(words)[2] < min(across)


def test_a_lattice_without_room_for_its_dimensions_is_told_in_words() -> None:
    small, large = (drawn(_made("six faces"), paper=paper) for paper in ("A4", "A2"))
    faces = ", ".join(f"face {number}" for number in range(1, 7))
    words = f"Holes on {faces}: 4 \u00d7 16 at 25.4 \u00d7 25.4 from 56, 56."
    assert words in _said(small, "NOTES")
    assert "15 \u00d7 25.4 = 381" not in _said(small, "DIMENSIONS")
    assert words not in _said(large, "NOTES")
    assert _said(large, "DIMENSIONS").count("15 \u00d7 25.4 = 381") == 6


def test_zones_without_room_for_their_words_are_told_in_the_notes() -> None:
    words = {f"Zone {number}: 6 \u00d7 6 at 40 \u00d7 40 from {x}, 140" for number, x in ((1, 90), (2, 490))}
    for paper in ("A4", "A2"):
        said = _said(drawn(_made("zones"), paper=paper), "NOTES")
        assert all(said.count(one) == 1 for one in words), said


@EVERY
def test_sections_that_would_be_specks_are_left_out_and_named(name: str, paper: str, unit: str) -> None:
    of = drawn(_made(name), paper=paper, unit=unit)
    types = {one.number: one for one in hole_types(_made(name).build)}
    notes = [text.words for text in _texts(of, "SECTION_NOTES")]
    left_out = [words for words in notes if words.startswith("No room")]
    shown = dict(words.removeprefix("Section ").split(", ") for words in notes if words not in left_out)
    for number, scale in shown.items():
        assert min(bore.diameter for bore in types[int(number)].hole.bores) * ratio(scale) >= SPECK
    without = [str(number) for number in types if str(number) not in shown]
    assert bool(without) == bool(left_out)
    if without:
        assert left_out == [f"No room for section{'s'[: len(without) > 1]} {', '.join(without)}: take a larger paper"]


def test_some_sections_are_left_out_on_a_small_paper_and_none_on_a_large_one() -> None:
    counts = [
        sum(text.words.startswith("Section ") for text in _texts(drawn(_made("keyed"), paper=paper, unit="in")))
        for paper in ("A4", "A2")
    ]
    assert counts[0] < counts[1] == len(hole_types(_made("keyed").build))


@pytest.mark.parametrize(("side", "angle"), [("bottom", 0.0), ("left", 90.0)])
def test_an_engraved_text_that_is_pressed_is_so_about_its_place_in_a_dxf_and_whole_in_the_notes(
    side: str, angle: float
) -> None:
    words = "W" * 60
    marking = {"edges": [], "text": words, "text_side": side}
    one = installation().build(request({"/plate/marking": marking}))
    of = drawn(one)
    (engraved,) = _texts(of, "MARKING")
    assert words in _said(of, "NOTES").replace(" ", "") or engraved.words == words
    assert engraved.angle == angle
    (text,) = [one for one in section(dxf(one), "ENTITIES") if one.kind == "TEXT" and one.first(8) == "MARKING"]
    ends = [(text.number(10), text.number(20)), (text.number(11), text.number(21))]
    along = 1 if angle else 0
    middle = (ends[0][along] + ends[1][along]) / 2
    body = one.build.body
    assert middle == pytest.approx((body.width if angle else body.length) / 2)
    assert ends[0][1 - along] == pytest.approx(ends[1][1 - along])


@pytest.mark.parametrize("room", [10.0, 40.0, 200.0])
@pytest.mark.parametrize("words", ["31.4961 \u00d7 19.685 \u00d7 1.5748", "one " * 30, "W" * 70, "\u677f" * 40, ""])
def test_wrapping_loses_nothing_and_keeps_to_the_room(words: str, room: float) -> None:
    lines = wrapped(words, 2.0, room)
    assert "".join(lines).replace(" ", "") == words.replace(" ", "")
    assert all(breadth(line, 2.0) <= room for line in lines)


def test_the_figure_of_a_thin_plate_reads_across_on_its_left_and_keeps_to_the_room_of_its_view() -> None:
    of = drawn(_made("keyed"), paper="A4", unit="in")
    (thick,) = [text for text in _texts(of, "DIMENSIONS") if text.words == "1.5748"]
    assert thick.angle == 0
    assert _box(thick)[2] < of.views[0].box[0]


def test_steps_told_beside_a_face_keep_to_the_room_of_its_view() -> None:
    of = drawn(_made("six faces"), paper="A3")
    faces = [view.box for view in of.views if view.face.title.startswith("face")]
    steps = [_box(text) for text in _texts(of, "DIMENSIONS") if text.words == "3 \u00d7 25.4 = 76.2"]
    assert len(steps) == len(faces) == 6
    for box, (_, _, right, _) in zip(steps, faces, strict=True):
        assert right < box[2] <= right + BESIDE
