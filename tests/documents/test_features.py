"""Features in drawings, schedules, tables, parts lists and pictures; each held to the build by other means."""

import json
from io import BytesIO, StringIO
from math import hypot
from typing import Any
from xml.etree.ElementTree import fromstring

import pytest
from ezdxf.filemanagement import read
from openpyxl import load_workbook

from tallyplate.documents.drawings.milled import outline_shapes
from tallyplate.documents.drawings.shapes import Arc, Circle, Line
from tallyplate.documents.drawings.views import Placed, face_views
from tallyplate.documents.measures import MEASURES
from tallyplate.documents.picture import plate_picture
from tallyplate.documents.schedules.parts import parts
from tallyplate.documents.schedules.schedule import schedule_json
from tallyplate.documents.schedules.sheets import all_tables
from tallyplate.documents.workbook import xlsx_pieces
from tallyplate.http.drawings import DXF, SVG, drawn
from tests.families.test_features import BARE, CUT_OUT, HOLE, KEEP_OUT, POCKET, SLOT
from tests.plates import installation, request

ASKED: dict[str, Any] = {
    **BARE,
    "/plate/features": [POCKET | {"face": "bottom"}, SLOT, CUT_OUT, KEEP_OUT, HOLE],
    "/plate/handles": "one_pair",
    "/plate/corner_radius": "20 mm",
    "/plate/edge_chamfer": "1 mm",
}
MADE = installation().build(request(ASKED))
MM = MEASURES["mm"]


def _schedule(build: Any) -> dict[str, Any]:
    return json.loads(b"".join(schedule_json(build, MADE.shop, 1, MADE.as_of, MM)))


@pytest.mark.parametrize("index", [0, 1, 2])
def test_an_outline_is_drawn_closed_and_all_of_it_as_far_from_the_core_as_its_radius(index: int) -> None:
    outline = MADE.build.milled[index].outline
    view = Placed(face_views(MADE.build, first_angle=False)[-1], (10.0, 20.0), 0.5)
    shapes = list(outline_shapes("OUTLINE", outline, view))
    ends = []
    for shape in shapes:
        assert isinstance(shape, Line | Arc)
        ends.append(
            (shape.start, shape.end) if isinstance(shape, Line) else (shape.spot(shape.start), shape.spot(shape.end))
        )
    for (_, end), (start, _) in zip(ends, (*ends[1:], ends[0]), strict=True):
        assert hypot(end[0] - start[0], end[1] - start[1]) < 1e-6
    for x, y in (spot for pair in ends for spot in pair):
        assert abs(outline.apart(((x - 10) / 0.5, (y - 20) / 0.5))) < 1e-6


def test_a_circle_is_drawn_as_one() -> None:
    view = Placed(face_views(MADE.build, first_angle=False)[-1], (0.0, 0.0), 2.0)
    (circle,) = outline_shapes("OUTLINE", MADE.build.kept_free[0].outline, view)
    assert circle == Circle("OUTLINE", (700.0, 450.0), 120.0)


def test_a_reader_of_dxf_finds_features_at_full_size() -> None:
    pieces = drawn(json.dumps(request(ASKED)).encode(), installation(), DXF).pieces
    space = read(StringIO(b"".join(pieces).decode())).modelspace()
    arcs = {
        (round(one.dxf.center.x, 2), round(one.dxf.center.y, 2), round(one.dxf.radius, 2)) for one in space.query("ARC")
    }
    assert {(100.0, 80.0, 7.0), (160.0, 80.0, 7.0)} <= arcs  # the slot
    assert {(318.0, 213.0, 8.0), (382.0, 237.0, 8.0)} <= arcs  # the pocket
    assert {(20.0, 20.0, 20.0), (680.0, 430.0, 20.0)} <= arcs  # the plate's corners
    hidden = {round(one.dxf.radius, 2) for one in space.query('ARC[layer=="HIDDEN"]')}
    assert hidden == {8.0}
    assert [one.dxf.radius for one in space.query('CIRCLE[layer=="CENTER_LINES"]')] == pytest.approx([60.0])


def test_the_notes_of_a_drawing_call_features_out() -> None:
    pieces = drawn(json.dumps(request(ASKED)).encode(), installation(), SVG).pieces
    drawing = fromstring(b"".join(pieces))  # noqa: S314 - it was made here
    said = " ".join("".join(one.itertext()) for one in drawing.iter("{http://www.w3.org/2000/svg}text"))
    for words in (
        "Pocket 80 \u00d7 40, 12 deep, corners R8, bottom face, middle at 350, 225.",
        "Slot 74 \u00d7 14, through",
        "corners R20",
    ):
        assert words in said
    assert "chamfered 1" in said
    assert "features and other holes need the room" in said


def test_the_schedule_has_every_outline_and_a_plain_plate_says_nothing_of_them() -> None:
    said = _schedule(MADE.build)
    assert [(one["kind"], one["face"], one["through"], one["depth"]) for one in said["milled"]] == [
        ("pocket", "bottom", False, "12"), ("slot", "top", True, "40"), ("cut-out", "top", True, "40"),
    ]  # fmt: skip
    assert said["milled"][1]["outline"] == {"core": [["100", "80"], ["160", "80"]], "radius": "7"}
    assert said["kept_free"] == [{"core": [["350", "225"]], "radius": "60"}]
    assert said["views"][0]["corner_radius"] == "20"
    plain = _schedule(installation().build(request(BARE)).build)
    assert not {"milled", "kept_free"} & set(plain)
    assert "corner_radius" not in plain["views"][0]


def test_a_workbook_has_a_sheet_of_features_where_there_are_any() -> None:
    def sheets(build: Any) -> Any:
        tables = all_tables(build, MADE.shop, 1, MM)
        return load_workbook(BytesIO(b"".join(xlsx_pieces(tables))))

    book = sheets(MADE.build)
    rows = list(book["Features"].values)
    assert rows[1][0] == "pocket"
    assert rows[1][-2:] == (350, 225)
    assert len(rows) == 4
    assert "Features" not in sheets(installation().build(request(BARE)).build).sheetnames


def test_handles_are_parts() -> None:
    found = {part.kind: part for part in parts(MADE.build, MADE.shop, 3, MM)}
    assert (found["handle"].each, found["handle"].total, found["handle"].designation) == (2, 6, "M10")


def test_a_picture_shows_features_and_round_corners() -> None:
    svg = fromstring(plate_picture(MADE.build))  # noqa: S314 - it was made here
    assert len(svg.findall(".//{http://www.w3.org/2000/svg}polygon")) == 3
    plate = svg.find(".//{http://www.w3.org/2000/svg}rect[@rx]")
    assert plate is not None
    assert float(plate.attrib["width"]) / float(plate.attrib["rx"]) == pytest.approx(700 / 20, rel=0.01)
