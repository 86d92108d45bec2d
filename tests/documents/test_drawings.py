"""Drawings: every hole where the schedule says, read back from SVG and from DXF by readers that know neither."""

from collections import Counter
from pathlib import Path
from typing import Final

import ezdxf
import pyogrio.raw
import pytest
import shapely
from msgspec.structs import replace

from tallyplate.documents.drawings.paper import PAPERS
from tallyplate.documents.drawings.shapes import Line
from tallyplate.documents.drawings.views import FAR_SIDE
from tallyplate.documents.schedules.holes import hole_types, numbered
from tests.documents.drawing import SVG, parsed
from tests.documents.group_codes import blocks, section
from tests.documents.plates import BASES, drawn, dxf, made, places, schedule, svg

EVERY: Final = pytest.mark.parametrize("name", BASES)
MILLIMETRES: Final = {"mm": 1.0, "in": 25.4}


def _scheduled(name: str, unit: str = "mm") -> Counter[tuple[str, float, float]]:
    """Kind and centre of every hole of the schedule."""
    holes = schedule(made(name), unit)["holes"]
    return Counter((hole["kind"], round(float(hole["x"]), 3), round(float(hole["y"]), 3)) for hole in holes)


def _layer(kind: str, face: str) -> str:
    return f"HOLES_{kind.upper()}" + ("_FAR_SIDE" if face == FAR_SIDE else "")


@EVERY
def test_every_hole_of_the_schedule_is_used_once_in_the_svg_at_its_place(name: str) -> None:
    found: Counter[tuple[str, float, float]] = Counter()
    for group in parsed(svg(made(name))).iter(f"{SVG}g"):
        kind = group.get("data-layer", "").removeprefix("HOLES_").removesuffix("_FAR_SIDE").lower()
        for use in group.findall(f"{SVG}use"):
            found[kind, round(float(use.attrib["x"]), 3), round(-float(use.attrib["y"]), 3)] += 1
    assert found == _scheduled(name)


@EVERY
def test_a_hole_is_shown_on_paper_where_its_face_is_and_within_it(name: str) -> None:
    sheet = drawn(made(name))
    for view in sheet.views:
        left, lower, right, upper = view.box
        assert 0 < left < right < sheet.width
        assert 0 < lower < upper < sheet.height
        for _, group in view.face.groups:
            for x, y in group.layout.positions():
                assert 0 <= x <= view.face.length
                assert 0 <= y <= view.face.width


@EVERY
@pytest.mark.parametrize("unit", ["mm", "in"])
def test_hole_centres_and_diameters_of_the_dxf_are_those_of_the_build(name: str, unit: str) -> None:
    one, per = made(name), MILLIMETRES[unit]
    text, sheet = dxf(one, unit=unit), drawn(one, unit=unit)
    made_of, inserts = blocks(text), [entity for entity in section(text, "ENTITIES") if entity.kind == "INSERT"]
    first = sheet.views[0]
    expected = []
    for use in sheet.uses:
        view = sheet.views[use.view]
        # Other views stand beside the first, as far away as the paper at full size.
        shift = [(a - b) / first.scale for a, b in zip(view.corner, first.corner, strict=True)]
        for x, y in use.layout.positions():
            expected.append((use.symbol.block, use.symbol.layer, (x + shift[0]) / per, (y + shift[1]) / per))
    assert len(inserts) == len(expected) == sum(group.count for group in one.build.holes)
    for entity, (block, layer, x, y) in zip(inserts, expected, strict=True):
        assert (entity.first(2), entity.first(8)) == (block, layer)
        assert entity.number(10) == pytest.approx(x, abs=1e-9)
        assert entity.number(20) == pytest.approx(y, abs=1e-9)
    for of in hole_types(one.build):
        for block in {use.symbol.block for use in sheet.uses if use.symbol.block.split("_")[2] == str(of.number)}:
            circles = sorted(2 * part.number(40) * per for part in made_of[block] if part.kind == "CIRCLE")
            assert circles == pytest.approx(sorted({bore.diameter for bore in of.hole.bores}))
            arcs = [2 * part.number(40) * per for part in made_of[block] if part.kind == "ARC"]
            assert arcs == pytest.approx([of.hole.thread.major] if of.hole.thread else [])


@EVERY
def test_the_first_view_of_the_dxf_has_its_corner_at_the_origin_at_full_size(name: str) -> None:
    one = made(name)
    lines = [entity for entity in section(dxf(one), "ENTITIES") if entity.first(8) == "OUTLINE"]
    face = drawn(one).views[0].face
    if face.disc:
        (circle,) = [entity for entity in lines if entity.kind == "CIRCLE"]
        assert [circle.number(code) for code in (10, 20, 40)] == pytest.approx([face.length / 2] * 3)
        return
    corners = {(round(line.number(10), 6), round(line.number(20), 6)) for line in lines}
    assert {(0, 0), (face.length, 0), (face.length, face.width), (0, face.width)} <= corners


@EVERY
def test_the_audit_of_the_dxf_is_clean_and_its_layers_are_named_for_what_they_hold(name: str, tmp_path: Path) -> None:
    file = tmp_path / "plate.dxf"
    file.write_text(dxf(made(name)), encoding="utf-8")
    document = ezdxf.readfile(file)  # type: ignore[attr-defined]
    audit = document.audit()
    assert not audit.errors
    assert not audit.fixes
    layers = {layer.dxf.name for layer in document.layers}
    assert {"OUTLINE", "DIMENSIONS", "SECTION", "HATCH", "HOLE_TABLE", "NOTES", "TITLE_BLOCK", "FRAME"} <= layers
    assert {_layer(group.kind, group.face) for _, group in numbered(made(name).build)} <= layers
    used = {entity.dxf.layer for entity in document.modelspace()}
    used |= {entity.dxf.layer for block in document.blocks if block.name.startswith("HOLE") for entity in block}
    assert used - {"0"} <= layers
    handles = [entity.dxf.handle for entity in document.modelspace()]
    assert len(set(handles)) == len(handles)
    assert all(int(handle, 16) < int(document.header["$HANDSEED"], 16) for handle in handles)


@pytest.mark.parametrize(("unit", "code"), [("mm", 4), ("in", 1)])
def test_the_dxf_says_its_unit(unit: str, code: int, tmp_path: Path) -> None:
    # $INSUNITS: 1 for inches and 4 for millimetres, as the reference of DXF has it (from memory).
    file = tmp_path / "plate.dxf"
    file.write_text(dxf(made("usual"), unit=unit), encoding="utf-8")
    assert ezdxf.readfile(file).header["$INSUNITS"] == code  # type: ignore[attr-defined]


def test_gdal_reads_the_holes_where_the_schedule_has_them(tmp_path: Path) -> None:
    file = tmp_path / "plate.dxf"
    file.write_text(dxf(made("alternating")), encoding="utf-8")
    _, _, shapes, (layers,) = pyogrio.raw.read(file, columns=["Layer"])
    found: Counter[tuple[str, float, float]] = Counter()
    for shape, layer in zip(shapes, layers, strict=True):
        if layer.startswith("HOLES"):
            # A block comes as all its lines; circles and arcs are polygons with corners on them.
            rings = [ring for ring in shapely.get_parts(shapely.from_wkb(shape)) if ring.is_ring]
            for ring in rings[:1]:
                left, lower, right, upper = ring.bounds
                found[layer, round((left + right) / 2, 1), round((lower + upper) / 2, 1)] += 1
    holes = schedule(made("alternating"))["holes"]
    expected = Counter((_layer(hole["kind"], hole["face"]), float(hole["x"]), float(hole["y"])) for hole in holes)
    assert found == expected


@EVERY
def test_layers_of_holes_have_the_holes_of_the_schedule_and_nothing_else(name: str) -> None:
    one, text = made(name), dxf(made(name))
    made_of = blocks(text)
    outer = {
        block: max(part.number(40) for part in parts if part.kind == "CIRCLE")
        for block, parts in made_of.items()
        if block.startswith("HOLE")
    }
    found: Counter[tuple[str, str]] = Counter()
    circles: Counter[str] = Counter()
    for entity in section(text, "ENTITIES"):
        layer = entity.first(8)
        if layer.startswith("HOLES"):
            found[entity.kind, layer] += 1
            # Lines of other layers stand in a block beside the hole's own circles, of which one is the widest.
            own = [part for part in made_of[entity.first(2)] if part.kind == "CIRCLE" and part.first(8) == "0"]
            circles[layer] += sum(part.number(40) == outer[entity.first(2)] for part in own)
    listed = Counter(_layer(hole["kind"], hole["face"]) for hole in schedule(one)["holes"])
    assert found == {("INSERT", layer): count for layer, count in listed.items()}
    assert circles == listed
    keys = [entity for entity in section(text, "ENTITIES") if entity.first(8).startswith("KEY_")]
    assert sum(entity.kind == "CIRCLE" for entity in keys) >= len(hole_types(one.build))


@EVERY
def test_layers_of_the_svg_hold_what_they_are_named_for(name: str) -> None:
    root = parsed(svg(made(name)))
    layers = {group.attrib["data-layer"] for group in root.iter(f"{SVG}g") if "data-layer" in group.attrib}
    assert {layer.name for layer in drawn(made(name)).layers} == layers


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("projection", ["first_angle", "third_angle"])
def test_every_shape_stands_within_the_frame_of_any_paper(paper: str, projection: str) -> None:
    sheet = drawn(made("alternating"), paper=paper, projection=projection)
    assert (sheet.width, sheet.height) == PAPERS[paper]
    root = parsed(svg(made("alternating"), paper=paper, projection=projection))
    assert root.attrib["viewBox"] == f"0 0 {sheet.width:g} {sheet.height:g}"
    for line in root.iter(f"{SVG}line"):
        if line.attrib["x1"].startswith("-") or float(line.attrib["x1"]) < 9:
            continue  # a symbol about its own centre
        assert 9 < float(line.attrib["x2"]) < sheet.width - 9
        assert 9 < float(line.attrib["y1"]) < sheet.height - 9


@pytest.mark.parametrize("name", ["alternating", "round"])
def test_the_edge_stands_below_the_plan_in_third_angle_and_above_it_in_first(name: str) -> None:
    tops = {}
    for projection in ("first_angle", "third_angle"):
        sheet = drawn(made(name), projection=projection)
        edge = [shape for shape in sheet.shapes if isinstance(shape, Line) and shape.layer == "OUTLINE"][-4:]
        tops[projection] = min(line.start[1] for line in edge) > sheet.views[0].box[3]
    assert tops == {"first_angle": True, "third_angle": False}


def test_faces_follow_each_other_as_the_block_is_turned() -> None:
    turned = {
        projection: [view.face.title for view in drawn(made("tombstone"), projection=projection).views]
        for projection in ("first_angle", "third_angle")
    }
    assert turned["third_angle"][:4] == ["face 1", "face 2", "face 3", "face 4"]
    assert turned["first_angle"][:4] == ["face 4", "face 3", "face 2", "face 1"]
    assert turned["third_angle"][-1] == "top view"


def test_a_build_with_a_hole_more_is_another_drawing() -> None:
    one = made("bare")
    group = one.build.holes[0]
    fewer = replace(one, build=replace(one.build, holes=(replace(group, layout=replace(group.layout, rows=3)),)))
    assert svg(fewer).count("<use") == fewer.build.holes[0].count < svg(one).count("<use")
    assert len(places(schedule(fewer))) == fewer.build.holes[0].count


def test_key_seats_are_drawn_hidden_at_their_places_and_told_in_the_notes_and_the_schedule() -> None:
    one, sheet = made("keyed"), drawn(made("keyed"))
    (seat,), (view,) = one.build.recesses, sheet.views
    hidden = [shape for shape in sheet.shapes if isinstance(shape, Line) and shape.layer == "HIDDEN"]
    corners = {tuple(round(side, 6) for side in line.start) for line in hidden}
    half = seat.length / 2, seat.width / 2
    expected = {
        tuple(round(side, 6) for side in view.at(x + across * half[0], y + up * half[1]))
        for x, y in seat.at
        for across in (-1, 1)
        for up in (-1, 1)
    }
    assert len(expected) == 8
    assert expected <= corners
    (said,) = [text.text or "" for text in parsed(svg(one)).iter(f"{SVG}text") if "Middles" in (text.text or "")]
    (listed,) = schedule(one)["recesses"]
    assert (listed["length"], listed["width"], listed["depth"], listed["face"]) == ("54", "18", "6", "bottom")
    assert [tuple(map(float, spot)) for spot in listed["at"]] == [*seat.at]
    assert all(f"{x}, {y}" in said for x, y in listed["at"])
