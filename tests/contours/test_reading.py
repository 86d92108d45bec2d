"""Contours read from files that another library wrote: exact circles, arcs within their error, refusals by name."""

import re
from collections.abc import Callable
from contextlib import suppress
from io import StringIO
from itertools import pairwise
from math import hypot, pi
from typing import Any

import pytest
from ezdxf import units
from ezdxf.document import Drawing
from ezdxf.filemanagement import new
from ezdxf.math import bulge_to_arc
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon

from tallyplate.contours.reading import ContourAnswer, ContourRequest, contours
from tallyplate.contract import Refusal
from tallyplate.units import length

UNITLESS = 0
Draw = Callable[[Drawing], object]


def written(draw: Draw, insunits: int = units.MM, version: str = "R2010") -> str:
    """The text of a file with something drawn in it."""
    document = new(version, units=insunits)
    document.layers.add("CUT")
    draw(document)
    stream = StringIO()
    document.write(stream)
    return stream.getvalue()


def read(draw: Draw, insunits: int = units.MM, version: str = "R2010", **asked: Any) -> ContourAnswer:
    """What is read of such a file."""
    return contours(ContourRequest(dxf=written(draw, insunits, version), layer="CUT", **asked))


def refused(draw: Draw, insunits: int = units.MM, **asked: Any) -> list[tuple[str, str]]:
    """Where and why such a file is refused."""
    with pytest.raises(Refusal) as found:
        read(draw, insunits, **asked)
    return [(fault.pointer, fault.message) for fault in found.value.faults]


def polygon(feature: dict[str, Any]) -> Polygon:
    """An outline as a general library has it."""
    return Polygon([(length(corner["x"]), length(corner["y"])) for corner in feature["outline"]])


CUT = {"layer": "CUT"}
SQUARE = [(100, 100), (160, 100), (160, 140), (100, 140)]


def polyline(*corners: Any, close: bool = True, form: str = "xy") -> Draw:
    return lambda file: file.modelspace().add_lwpolyline(corners, format=form, close=close, dxfattribs=CUT)


def test_a_closed_polyline_becomes_a_cut_out_with_its_corners() -> None:
    (feature,) = read(polyline(*SQUARE)).features
    assert feature["feature"] == "cut_out"
    assert [(corner["x"], corner["y"]) for corner in feature["outline"]] == [
        ("100 mm", "100 mm"), ("160 mm", "100 mm"), ("160 mm", "140 mm"), ("100 mm", "140 mm"),
    ]  # fmt: skip


@pytest.mark.parametrize("version", ["R12", "R2000", "R2018"])
def test_files_of_old_and_new_versions_are_read(version: str) -> None:
    def old(file: Drawing) -> None:
        file.modelspace().add_polyline2d(SQUARE, close=True, dxfattribs=CUT)

    asked: dict[str, Any] = {"unit": "mm"} if version == "R12" else {}  # which states none
    answer = read(old, version=version, **asked)
    assert polygon(answer.features[0]).area == pytest.approx(2400)


@pytest.mark.parametrize(
    ("insunits", "unit", "millimetres"),
    [(units.IN, "in", 25.4), (units.FT, "ft", 304.8), (units.MM, "mm", 1), (units.CM, "cm", 10), (units.M, "m", 1000)],
)
def test_the_unit_that_a_file_states_is_the_one_that_is_read(insunits: int, unit: str, millimetres: float) -> None:
    answer = read(lambda file: file.modelspace().add_circle((4, 3), 1, dxfattribs=CUT), insunits)
    (circle,) = answer.features
    assert answer.unit == unit
    assert length(circle["diameter"]) == pytest.approx(2 * millimetres)
    assert length(circle["at"]["x"]) == pytest.approx(4 * millimetres)


def test_a_file_without_a_unit_asks_for_it_and_one_with_another_refuses_it() -> None:
    circle: Draw = lambda file: file.modelspace().add_circle((4, 3), 1, dxfattribs=CUT)  # noqa: E731 - drawn twice
    assert refused(circle, UNITLESS)[0][0] == "/unit"
    assert read(circle, UNITLESS, unit="in").unit == "in"
    why = "'in' is not what the file states; accepted: mm, or leave it out"
    assert refused(circle, units.MM, unit="in")[0] == ("/unit", why)


@given(st.floats(-0.98, 5).filter(lambda bulge: abs(bulge) > 0.01), st.sampled_from(["0.01 mm", "0.05 mm", "0.5 mm"]))
def test_the_arc_of_a_polyline_is_kept_within_the_chord_error(bulge: float, error: str) -> None:
    # The library turns the same corners into the arc's centre and radius.
    corners = [(300, 300, bulge), (340, 300, 0), (340, 360, 0), (300, 360, 0)]
    try:
        (feature,) = read(polyline(*corners, form="xyb"), chord_error=length(error)).features
    except Refusal:
        return  # an arc that swings through the other sides crosses them
    centre, _, _, radius = bulge_to_arc((300, 300), (340, 300), bulge)
    spots = [(length(corner["x"]), length(corner["y"])) for corner in feature["outline"]][:-2]
    assert all(abs(hypot(x - centre.x, y - centre.y) - radius) < 2e-4 for x, y in spots)
    middles = [((x1 + x2) / 2, (y1 + y2) / 2) for (x1, y1), (x2, y2) in pairwise(spots)]
    assert all(radius - hypot(x - centre.x, y - centre.y) <= length(error) + 2e-4 for x, y in middles)


def test_lines_and_arcs_are_joined_whichever_way_they_run() -> None:
    def slot(file: Drawing) -> None:
        space = file.modelspace()
        space.add_line((100, 90), (200, 90), dxfattribs=CUT)
        space.add_line((100, 110), (200, 110), dxfattribs=CUT)
        space.add_arc((200, 100), 10, -90, 90, dxfattribs=CUT)
        space.add_arc((100, 100), 10, 90, 270, dxfattribs=CUT)

    (feature,) = read(slot, chord_error=length("0.005 mm")).features
    assert polygon(feature).area == pytest.approx(100 * 20 + pi * 10**2, rel=1e-3)
    right = [(length(one["x"]) - 200, length(one["y"]) - 100) for one in feature["outline"]]
    assert all(abs(hypot(x, y) - 10) < 1e-3 for x, y in right if x > 0)


def test_pockets_have_their_depth_and_the_origin_is_taken_off() -> None:
    (feature,) = read(
        lambda file: file.modelspace().add_circle((-400, 1050), 20, dxfattribs=CUT),
        feature="pocket", depth=length("0.5 in"), origin_x=-500.0, origin_y=1000.0,
    ).features  # fmt: skip
    assert feature == {"feature": "pocket", "at": {"x": "100 mm", "y": "50 mm"}, "diameter": "40 mm", "depth": "0.5 in"}


def test_what_is_not_read_is_told_and_other_layers_are_left_alone() -> None:
    def drawn(file: Drawing) -> None:
        space = file.modelspace()
        space.add_circle((100, 100), 10, dxfattribs=CUT)
        space.add_text("drill here", dxfattribs=CUT)
        space.add_spline([(0, 0), (1, 1), (2, 0)], dxfattribs=CUT)
        space.add_circle((100, 200), 10, dxfattribs={**CUT, "extrusion": (0, 0, -1)})
        space.add_lwpolyline([(0, 0), (5, 5)], dxfattribs={"layer": "NOTES"})

    answer = read(drawn)
    assert len(answer.features) == 1
    assert [one.entity.split()[0] for one in answer.not_understood] == ["TEXT", "SPLINE", "CIRCLE"]


def crossed(file: Drawing) -> None:
    polyline((10, 10), (50, 50), (50, 10), (10, 50))(file)


def nested(file: Drawing) -> None:
    polyline(*SQUARE)(file)
    file.modelspace().add_circle((130, 120), 5, dxfattribs=CUT)


def forked(file: Drawing) -> None:
    for end in ((50, 10), (10, 50), (50, 50)):
        file.modelspace().add_line(end, (10, 10), dxfattribs=CUT)


@pytest.mark.parametrize(
    ("draw", "said"),
    [
        (polyline(*SQUARE, close=False), "ends near 100.000, 140.000 mm"),
        (crossed, "crosses itself near"),
        (nested, "lies within or around"),
        (forked, "forks near 10.000, 10.000 mm"),
        (polyline((10, 10), (50, 10), (10, 10)), "goes around nothing"),
        (polyline((-10, 10), (50, 10), (10, 50)), "reaches to -10.000, 10.000 mm"),
        (lambda file: file.modelspace().add_circle((9, 9), 0, dxfattribs=CUT), "has a radius of 0"),
    ],
    ids=["open", "crossed", "nested", "forked", "flat", "off the plate", "no radius"],
)
def test_contours_that_are_none_are_refused_by_name(draw: Draw, said: str) -> None:
    found = refused(draw)
    assert {pointer for pointer, _ in found} == {"/dxf"}
    assert all(re.match(r"[A-Z]+ [0-9A-F]+ ", message) for _, message in found)
    assert any(said in message for _, message in found), found


def test_a_layer_with_nothing_is_refused_and_those_with_something_are_named() -> None:
    with pytest.raises(Refusal, match="accepted: CUT") as found:
        contours(ContourRequest(dxf=written(polyline(*SQUARE)), layer="cut"))
    assert found.value.faults[0].pointer == "/layer"


@pytest.mark.parametrize("text", ["", "no dxf", "0\nSECTION\nx\ny\n", "\x00\x01", "AutoCAD Binary DXF\r\n\x1a\x00"])
def test_what_is_no_dxf_is_refused(text: str) -> None:
    with pytest.raises(Refusal) as found:
        contours(ContourRequest(dxf=text, layer="CUT"))
    assert [fault.pointer for fault in found.value.faults] == ["/dxf"]


def test_a_comment_before_what_is_drawn_hides_nothing() -> None:
    text = written(polyline(*SQUARE)).replace("ENTITIES\n", "ENTITIES\n999\ndrawn by hand\n")
    assert "drawn by hand" in text
    assert len(contours(ContourRequest(dxf=text, layer="CUT")).features) == 1


@given(st.text(max_size=300), st.integers(0, 2000), st.integers(0, 40))
def test_a_broken_file_is_read_or_refused_and_nothing_else(noise: str, at: int, cut: int) -> None:
    whole = written(polyline(*SQUARE))
    place = len(whole) - at
    with suppress(Refusal):
        contours(ContourRequest(dxf=whole[:place] + noise + whole[place + cut :], layer="CUT"))


def test_a_fine_contour_is_refused_before_it_is_looked_at_closely() -> None:
    many = [(1000 + 900 * x / 3000, 500 + (x % 2)) for x in range(3000)]
    ((pointer, message),) = refused(polyline(*many, (1900, 900)))
    assert pointer == "/dxf"
    assert "3001 corners; accepted: at most 200" in message


def test_a_spot_within_an_outline_is_within_it_for_a_general_library_too() -> None:
    (feature,) = read(polyline((100, 100, 0.5), (200, 100, 0), (150, 200, -0.3), form="xyb")).features
    assert polygon(feature).contains(Point(150, 130))
