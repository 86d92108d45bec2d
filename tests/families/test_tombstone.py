"""The tombstone: a block of working faces on a base, its solid and its bores against a geometry library."""

import sys
from itertools import combinations, pairwise
from math import cos, pi, sin, tau
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon, affinity, box

from tallyplate.contract import Build, Lattice, Refusal, Usual
from tallyplate.inquiry import read
from tests.plates import installation

BASE: dict[str, Any] = {
    "family": "tombstone",
    "faces": 4,
    "face_width": "250 mm",
    "height": "450 mm",
    "material": "iron-grey",
}
SHOP = installation().shops[0]


def built(**changes: Any) -> Build:
    here = installation()
    inquiry = read({"plate": BASE | changes}, here.families)
    return here.families["tombstone"].build(inquiry.plate, SHOP, Usual())


def total(quantity: int = 1, **changes: Any) -> float:
    return float(installation().price({"plate": BASE | changes, "quantity": quantity}).total)


def codes(**changes: Any) -> set[str]:
    return {finding.code for finding in installation().price({"plate": BASE | changes}).findings}


def outline(faces: int, width: float, depth: float = 0.0) -> Polygon:
    """A block in plan, drawn corner by corner rather than by formula."""
    if faces == 2:
        return box(-depth / 2, -width / 2, depth / 2, width / 2)
    out = width / 2 / sin(pi / faces)
    turns = [tau * (number + 0.5) / faces for number in range(faces)]
    return Polygon([(out * cos(turn), out * sin(turn)) for turn in turns])


@pytest.mark.parametrize("faces", [2, 3, 4, 5, 6])
@pytest.mark.parametrize("wall", [0.0, 30.0])
def test_mass_and_surface_are_those_of_a_geometry_library(faces: int, wall: float) -> None:
    """Shapely 2 measures the polygons (general-purpose geometry library)."""
    depth = {"depth": "150 mm"} if faces == 2 else {}
    walls = {"hollow": True, "wall": f"{wall} mm"} if wall else {}
    foot = {"overhang": "60 mm", "thickness": "40 mm"}
    body = built(faces=faces, face_width="180 mm", height="400 mm", base=foot, **depth, **walls).body
    block = outline(faces, 180.0, 150.0)
    hole = block.buffer(-wall, join_style="mitre") if wall else Polygon()
    base = box(-body.length / 2, -body.width / 2, body.length / 2, body.width / 2)
    right, front = (max(abs(block.bounds[axis]), block.bounds[axis + 2]) + 60 for axis in (0, 1))
    assert base.bounds == pytest.approx((-right, -front, right, front))
    assert body.volume == pytest.approx(block.area * 400 + base.area * 40 - hole.area * 440)
    sides = block.length * 400 + hole.length * 440 + base.length * 40
    assert body.surface == pytest.approx(sides + 2 * (base.area - hole.area))
    assert body.milled_area == pytest.approx(base.area + faces * 180 * 400 + block.area - hole.area)


@pytest.mark.parametrize("material", ["iron-grey", "al-cast"])
def test_a_casting_holds_the_body_and_is_not_sawn(material: str) -> None:
    build = built(material=material, made_from="casting", hollow=True)
    blank = build.blank
    assert (blank.form, build.other_blanks) == ("casting", ())
    assert build.body.volume < blank.volume < blank.length * blank.width * blank.thickness
    assert blank.sawn == 0
    items = [line.item for line in installation().price({"plate": BASE | {"material": material}}).lines]
    assert "saw cuts" not in items
    assert "indexing" in items


def test_a_foundrys_weeks_are_in_the_lead_time() -> None:
    """The shop data say twenty working days."""
    block = {"material": "al-6061-t6"}
    days = [installation().price({"plate": BASE | more}).lead_time.working_days for more in ({}, block)]
    assert days[0] >= days[1] + 15


def test_the_cheaper_of_stock_and_casting_is_taken() -> None:
    assert "al-cast" in installation().shops[0].materials
    both = total(material="iron-grey")
    assert both == total(material="iron-grey", made_from="casting")
    assert total(material="al-6061-t6") == total(material="al-6061-t6", made_from="stock")


def test_a_block_is_turned_so_that_the_cheapest_side_is_the_rolled_one() -> None:
    build = built(material="steel-1018")
    offered = (build.blank, *build.other_blanks)
    assert len({(blank.length, blank.width, blank.thickness) for blank in offered}) == len(offered) == 3
    for blank in offered:
        rolled = blank.rolled or blank.thickness
        assert rolled in {float(size) for size in SHOP.materials["steel-1018"].blocks["block"].thicknesses}
        others = [blank.length, blank.width, blank.thickness]
        others.remove(rolled)
        assert blank.sawn == pytest.approx(sum(others) * rolled)


def test_every_face_has_its_own_pattern_and_one_may_be_bare() -> None:
    own = [{"pitch": "50 mm", "screw": "M12"}, None, {"arrangement": "combination", "screw": "M10"}, None]
    build = built(patterns=own)
    kinds = {(group.face, group.kind, group.hole.size) for group in build.holes if not group.mounting}
    assert kinds == {
        ("face 1", "combination", "M12"),
        ("face 1", "tapped", "M12"),
        ("face 3", "combination", "M10"),
    }
    assert {marks.side for marks in build.marks} == {"face 1 bottom", "face 1 left", "face 3 bottom", "face 3 left"}
    assert total(patterns=own) < total(patterns=[own[0], own[0], own[2], own[2]])


def test_holes_of_a_solid_block_are_blind_and_those_of_a_wall_go_through() -> None:
    solid, hollow = (
        [group.hole for group in built(**more).holes if not group.mounting] for more in ({}, {"hollow": True})
    )
    assert not any(hole.through for hole in solid)
    assert all(hole.through and hole.bores[0].depth == 45 for hole in hollow)


def bore_in_plan(build: Build, group: Any, along: float) -> Polygon:
    face = next(one for one in build.body.faces if one.name == group.face)
    half, deep = group.hole.widest / 2, group.hole.bores[0].depth
    at = along - face.length / 2
    return affinity.rotate(box(face.reach - deep, at - half, face.reach, at + half), 360 * face.turn, (0, 0))


def least_wall(build: Build) -> float:
    """Least wall between bores of different faces at the same height, every pair tried."""
    faces = [group for group in build.holes if isinstance(group.layout, Lattice)]
    return min(
        bore_in_plan(build, one, x).distance(bore_in_plan(build, two, u))
        for one, two in combinations(faces, 2)
        if one.face != two.face
        for x in {x for x, _ in one.layout.positions()}
        for u in {u for u, _ in two.layout.positions()}
    )


@settings(max_examples=40, deadline=None)
@given(st.integers(3, 6), st.integers(100, 260), st.integers(20, 80), st.sampled_from(["M10", "1/2-13"]), st.booleans())
def test_bores_that_leave_too_thin_a_wall_are_found_and_no_others(
    faces: int, width: int, margin: int, screw: str, hollow: bool
) -> None:
    """Against shapely's distance, over every pair of columns. Rows are alike on all faces."""
    pattern = {"arrangement": "combination", "screw": screw, "margin": f"{min(margin, width // 2)} mm"}
    plate = {"faces": faces, "face_width": f"{width} mm", "pattern": pattern}
    if hollow and faces > 3:
        plate |= {"hollow": True, "wall": "30 mm"}
    found = installation().price({"plate": BASE | plate}).findings
    meeting = [one for one in found if one.code == "thin-wall" and "inside the block" in one.message]
    between_faces = [one for one in meeting if "upper end" not in one.message]
    assert bool(between_faces) == (least_wall(built(**plate)) < SHOP.walls.between_holes - 1e-6)


@pytest.mark.parametrize("faces", [2, 3, 4, 5, 6])
@pytest.mark.parametrize("hollow", [False, True])
def test_a_usual_tombstone_can_be_made(faces: int, hollow: bool) -> None:
    answer = installation().price({"plate": BASE | {"faces": faces, "face_width": "220 mm", "hollow": hollow}})
    assert not [finding for finding in answer.findings if finding.severity.value == "error"]


def test_lifting_holes_balance_the_block_about_its_axis() -> None:
    for faces in range(2, 7):
        build = built(faces=faces)
        (eyes,) = [group for group in build.holes if group.kind == "lifting"]
        end = next(face for face in build.body.faces if face.name == "upper end")
        places = list(eyes.layout.positions())
        centre = [sum(each) / len(places) for each in zip(*places, strict=True)]
        assert centre == pytest.approx([end.length / 2, end.width / 2])


def test_a_lifting_hole_in_the_way_of_a_faces_bores_is_an_error() -> None:
    narrow = {"faces": 4, "face_width": "100 mm", "pattern": {"margin": "16 mm", "screw": "M10"}}
    findings = installation().price({"plate": BASE | narrow}).findings
    assert any("upper end" in finding.message for finding in findings if finding.code == "thin-wall")


def test_the_base_is_held_beside_the_block() -> None:
    build = built()
    (holding,) = [group for group in build.holes if group.kind == "holding"]
    for x, y in holding.layout.positions():
        beside = max(abs(x - build.body.length / 2), abs(y - build.body.width / 2)) - 125
        assert beside >= holding.hole.widest / 2 + SHOP.walls.between_holes - 1e-9


@pytest.mark.parametrize(
    ("changes", "pointer"),
    [
        ({"faces": 7}, "/plate/faces"),
        ({"depth": "100 mm"}, "/plate/depth"),
        ({"wall": "40 mm"}, "/plate/wall"),
        ({"hollow": True, "wall": "125 mm"}, "/plate/wall"),
        ({"faces": 2, "depth": "80 mm", "hollow": True, "wall": "40 mm"}, "/plate/wall"),
        ({"made_from": "casting", "material": "steel-1018"}, "/plate/made_from"),
        ({"made_from": "stock"}, "/plate/material"),
        ({"material": "acetal"}, "/plate/material"),
        ({"material": "steel-1018", "face_width": "1200 mm"}, "/plate/face_width"),
        ({"patterns": [None] * 3}, "/plate/patterns"),
        ({"patterns": [{"screw": "M11"}, None, None, None]}, "/plate/patterns/0/screw"),
        ({"patterns": [None] * 4, "pattern": {}}, "/plate/pattern"),
        ({"base": {"overhang": "20 mm"}}, "/plate/base/overhang"),
        ({"base": {"screw_spacing": "200 mm"}}, "/plate/base/screw_spacing"),
        ({"base": {"screw": "M11"}}, "/plate/base/screw"),
        ({"lifting_screw": "M11"}, "/plate/lifting_screw"),
    ],
)
def test_what_has_no_geometry_is_refused_by_field(changes: dict[str, Any], pointer: str) -> None:
    with pytest.raises(Refusal) as raised:
        installation().price({"plate": BASE | changes})
    assert [fault.pointer for fault in raised.value.faults] == [pointer]


@given(st.integers(150, 300), st.integers(200, 500), st.integers(1, 60), st.sampled_from((1, 4, 25)))
@settings(max_examples=30, deadline=None)
def test_a_larger_casting_never_costs_less(width: int, height: int, more: int, quantity: int) -> None:
    """Not a larger block of stock: of two from one blank the smaller has more to mill away."""
    sizes = [(width, height), (width + more, height), (width + more, height + more)]
    fixed = {"pitch": "40 mm", "margin": "60 mm", "screw": "M10"}
    costs = [total(quantity, face_width=f"{w} mm", height=f"{h} mm", pattern=fixed) for w, h in sizes]
    assert costs == sorted(costs)


def test_more_faces_drilled_never_cost_less() -> None:
    pattern = {"pitch": "40 mm", "screw": "M12"}
    costs = [total(patterns=[pattern] * drilled + [None] * (4 - drilled)) for drilled in range(5)]
    assert all(fewer < further for fewer, further in pairwise(costs))


def calls(**changes: Any) -> int:
    """How many functions Python enters to build, check and price a plate."""
    count = 0

    def entered(_frame: Any, event: str, _argument: Any) -> None:
        nonlocal count
        count += event == "call"

    here = installation()
    card, shop = here.in_force(here.today())
    sys.setprofile(entered)
    try:
        here.price_under({"plate": BASE | changes}, card, shop)
    finally:
        sys.setprofile(None)
    return count


def test_ten_thousand_holes_a_face_are_no_more_work_than_their_columns() -> None:
    """Each face's columns are looked at against the next face's, so work grows with them and not with the holes."""
    sizes = {"face_width": "400 mm", "height": "400 mm"}
    coarse, fine = (calls(**sizes, pattern={"pitch": pitch, "screw": "M10"}) for pitch in ("30 mm", "3 mm"))
    assert fine < 12 * coarse
