"""A block is drawn from above with its hollow, and its wall and base are in the notes."""

from math import cos, hypot, pi
from typing import Any

import pytest
from msgspec.structs import replace

from tallyplate.asked import Made
from tallyplate.documents.drawings.blocks import fills, ring, wall_of
from tallyplate.documents.drawings.shapes import Line, Text
from tallyplate.documents.drawings.sheet import Sheet
from tests.documents.plates import drawn, made
from tests.plates import installation

EVERY = pytest.mark.parametrize("faces", [2, 3, 4, 5, 6])


def _made(faces: int, wall: str = "") -> Made:
    plate: dict[str, Any] = {
        "family": "tombstone", "faces": faces, "face_width": "300 mm", "height": "500 mm", "material": "steel-1018",
        "base": {"thickness": "42 mm"},
    }  # fmt: skip
    if faces == 2:
        plate["depth"] = "220 mm"
    if wall:
        plate |= {"hollow": True, "wall": wall}
    return installation().build({"plate": plate, "as_of": "2026-03-02"})


def _notes(of: Sheet) -> str:
    return " ".join(shape.words for shape in of.shapes if isinstance(shape, Text) and shape.layer == "NOTES")


@EVERY
@pytest.mark.parametrize("wall", ["20 mm", "33.5 mm"])
def test_the_wall_of_a_hollow_block_is_found_and_told_with_its_base(faces: int, wall: str) -> None:
    one = _made(faces, wall)
    assert wall_of(one.build.body) == pytest.approx(float(wall.removesuffix(" mm")))
    said = _notes(drawn(one))
    assert f"Hollow, open at both ends; wall {wall.removesuffix(' mm')} under every face." in said
    assert "Base 42 thick." in said


@EVERY
def test_a_solid_block_has_no_wall(faces: int) -> None:
    one = _made(faces)
    assert wall_of(one.build.body) == 0
    assert "Hollow" not in _notes(drawn(one))


def test_a_wall_that_volume_or_surface_contradicts_is_not_told() -> None:
    body = _made(6, "20 mm").build.body
    assert wall_of(replace(body, volume=body.volume * 1.01)) == 0
    assert wall_of(replace(body, surface=body.surface * 1.01)) == 0
    assert wall_of(made("usual").build.body) == 0
    assert ring(made("usual").build.body) == []


def test_the_upper_end_of_six_faces_is_a_hexagon_about_another() -> None:
    one = _made(6, "20 mm")
    of = drawn(one)
    (end,) = [view for view in of.views if view.face.title == "upper end"]
    left, lower, right, upper = end.box
    lines = [shape for shape in of.shapes if isinstance(shape, Line) and shape.layer == "OUTLINE"]
    within = [
        line
        for line in lines
        if all(abs(2 * x - left - right) <= right - left + 0.1 for x, _ in (line.start, line.end))
        and all(abs(2 * y - lower - upper) <= upper - lower + 0.1 for _, y in (line.start, line.end))
    ]
    long = [hypot(line.end[0] - line.start[0], line.end[1] - line.start[1]) / end.scale for line in within]
    # Of a regular hexagon the side is the reach over cos 30 degrees, so that a wall takes 20 / cos 30 from each side.
    assert sorted(long) == pytest.approx([300 - 20 / cos(pi / 6)] * 6 + [300] * 6)


def test_an_end_that_is_no_section_of_the_block_is_a_box() -> None:
    body = _made(6).build.body
    end = body.faces[-1]
    assert fills(body, end.length, end.width)
    assert not fills(body, end.length + 1, end.width)
    assert not fills(made("usual").build.body, 10.0, 10.0)
