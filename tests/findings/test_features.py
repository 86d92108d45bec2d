"""Findings on features: walls, floors, loose pieces, kept areas, handles; and none where all is well."""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon, box
from shapely.ops import unary_union

from tallyplate.contract import Outline, Refusal
from tests.families.test_features import BARE, CUT_OUT, KEEP_OUT, POCKET, ROUND, SLOT, points
from tests.plates import answer, built

HELD: dict[str, Any] = {
    "/plate/mounting": {"surface": "tapped_grid", "grid_pitch": "100 mm", "screw": "M12", "locate": "pins"}
}
KEYED: dict[str, Any] = {
    "/plate/mounting": {"surface": "t_slots", "slot_width": "18 mm", "slot_spacing": "100 mm", "locate": "keys"}
}


def found(*features: dict[str, Any], **changes: Any) -> dict[str, dict[str, str]]:
    """The findings by code, of a plate that nothing holds unless that is said."""
    asked = {**BARE, "/plate/features": list(features), **changes}
    return {one["code"]: one for one in answer(asked)["findings"]}


def pocket(x: float, y: float, **changes: Any) -> dict[str, Any]:
    return {**POCKET, "at": points((x, y))[0], **changes}


BORE = {"feature": "bore", "diameter": "20 mm", "at": points((151, 100))[0]}

OURS = {"feature-wall", "thin-floor", "loose-piece", "in-kept-area", "handles-rating", "thin-wall", "thin-edge"}


def test_features_apart_from_all_else_have_no_findings() -> None:
    assert not OURS & set(found(pocket(100, 100), pocket(600, 350, face="bottom"), SLOT | {
        "start": points((300, 100))[0], "end": points((400, 100))[0]}, KEEP_OUT, **HELD))  # fmt: skip


@pytest.mark.parametrize(
    ("features", "said"),
    [
        ((pocket(43, 100),), "leaves 3 mm to the edge of the plate; at least 4 mm stay solid"),
        ((pocket(30, 100),), "runs into the edge of the plate"),
        ((pocket(100, 100), pocket(181, 100)), "leaves 1 mm to the pocket of /plate/features/0"),
        ((pocket(100, 100), pocket(150, 110)), "runs into the pocket of /plate/features/0"),
        ((pocket(100, 100), CUT_OUT | {"outline": points((90, 90), (99, 90), (90, 99))}), "runs into the pocket of"),
        (
            (pocket(100, 100), {"feature": "bore", "diameter": "20 mm", "at": points((151, 100))[0]}),
            "leaves 1 mm to a bore",
        ),
    ],
    ids=["near the edge", "over the edge", "near each other", "over each other", "within each other", "near a bore"],
)
def test_walls_too_thin_are_errors_with_the_numbers(features: tuple[dict[str, Any], ...], said: str) -> None:
    one = found(*features)["feature-wall"]
    assert one["severity"] == "error"
    assert said in one["message"]


def test_a_wall_that_is_just_thick_enough_is_none() -> None:
    assert "feature-wall" not in found(pocket(44, 100), pocket(126.5, 100))


def test_holding_screws_pins_and_key_seats_keep_clear_of_features_or_it_is_found() -> None:
    screw = {"x": "50 mm", "y": "25 mm"}
    assert "holding hole" in found({**POCKET, "at": screw}, **HELD)["feature-wall"]["message"]
    (seat,) = built({**BARE, **KEYED}).recesses
    x, y = seat.at[0]
    small = POCKET | {"length": "24 mm", "width": "24 mm", "corner_radius": "6 mm", "face": "bottom"}
    over, beside = (small | {"at": {"x": f"{x} mm", "y": f"{y + up} mm"}} for up in (0, 30))
    assert "runs into a key seat" in found(over, **KEYED)["feature-wall"]["message"]
    assert "feature-wall" not in found(beside, **KEYED)


def test_a_pin_or_screw_in_an_area_to_be_kept_free_is_a_caution() -> None:
    one = found({"feature": "keep_out", "length": "690 mm", "width": "440 mm"}, **HELD)["in-kept-area"]
    assert one["severity"] == "caution"
    assert "holding" in one["message"]
    assert "in-kept-area" not in found(KEEP_OUT, **HELD)


@pytest.mark.parametrize(
    ("features", "floor"),
    [
        ((pocket(100, 100, depth="38 mm", corner_radius="12 mm"),), "x 38 mm leaves 2 mm of floor"),
        ((pocket(100, 100, depth="20 mm"), pocket(120, 110, depth="19 mm", face="bottom")), "leave 1 mm of floor"),
        ((pocket(100, 100, depth="25 mm"), pocket(120, 110, depth="19 mm", face="bottom")), "leave nothing of floor"),
        (
            ({"feature": "hole", "kind": "plain", "diameter": "9 mm", "at": points((90, 90)), "depth": "39 mm"},),
            "plain holes leave 1 mm",
        ),
    ],
    ids=["under a pocket", "between two", "through to each other", "under a hole"],
)
def test_thin_floors_are_errors(features: tuple[dict[str, Any], ...], floor: str) -> None:
    one = found(*features)["thin-floor"]
    assert one["severity"] == "error"
    assert floor in one["message"]


def test_pockets_of_both_faces_may_lie_over_each_other_where_the_floor_stands() -> None:
    both = found(pocket(100, 100, depth="15 mm"), pocket(120, 110, depth="15 mm", face="bottom"))
    assert not OURS & set(both)


def bar(start: tuple[int, int], end: tuple[int, int]) -> dict[str, Any]:
    return SLOT | {"start": points(start)[0], "end": points(end)[0]}


CORNERS = ((100, 100), (300, 100), (300, 300), (100, 300))
FRAME = tuple(bar(start, end) for start, end in zip(CORNERS, (*CORNERS[1:], CORNERS[0]), strict=True))


@pytest.mark.parametrize(
    "features",
    [
        (bar((1, 225), (699, 225)),),
        (bar((1, 60), (60, 1)),),
        FRAME,
    ],
    ids=["across", "a corner off", "a frame"],
)  # fmt: skip
def test_cuts_that_part_the_plate_or_free_a_piece_are_errors(features: tuple[dict[str, Any], ...]) -> None:
    assert found(*features)["loose-piece"]["severity"] == "error"


def test_a_notch_in_one_side_is_no_loose_piece_though_it_is_an_error() -> None:
    notch = found(bar((100, 1), (100, 60)))
    assert "loose-piece" not in notch
    assert "feature-wall" in notch


def solid(outlines: list[Outline], whole: Polygon) -> Any:
    """What is left of a plate, by a general library."""

    def shape(of: Outline) -> Any:
        core = of.core
        bare = Point(core[0]) if len(core) == 1 else LineString(core) if len(core) == 2 else Polygon(core)
        return bare.buffer(of.radius, quad_segs=32)

    return whole.difference(unary_union([shape(one) for one in outlines]))


SPOTS = st.tuples(st.integers(1, 699), st.integers(1, 449))
CUTS = st.one_of(
    st.builds(bar, SPOTS, SPOTS),
    st.builds(lambda x, y, d: {"feature": "cut_out", "at": points((x, y))[0], "diameter": f"{d} mm"},
              st.integers(1, 699), st.integers(1, 449), st.integers(12, 400)),
)  # fmt: skip


@settings(max_examples=60)
@given(st.lists(CUTS, min_size=1, max_size=4))
def test_a_plate_without_errors_is_in_one_piece_and_one_in_pieces_has_one(features: list[dict[str, Any]]) -> None:
    try:
        codes = found(*features)
    except Refusal:
        return
    milled = built({**BARE, "/plate/features": features}).milled
    left = solid([one.outline for one in milled], box(0, 0, 700, 450))
    pieces = [part for part in getattr(left, "geoms", [left]) if part.area > 1]
    if len(pieces) > 1:
        assert "loose-piece" in codes or "feature-wall" in codes
    if "feature-wall" not in codes:
        assert len(pieces) == 1
        assert "loose-piece" not in codes


def test_a_disc_is_checked_at_its_rim() -> None:
    near = ROUND | {"features": [{"feature": "cut_out", "diameter": "60 mm", "at": points((370, 200))[0]}]}
    codes = {one["code"] for one in answer({"/plate": near})["findings"]}
    assert "feature-wall" in codes


def test_a_hole_beside_a_round_corner_or_a_chamfer_is_near_the_edge() -> None:
    hole = {"feature": "hole", "kind": "plain", "diameter": "8 mm", "at": points((10, 10))}
    assert "thin-edge" not in found(hole)
    assert "thin-edge" in found(hole, **{"/plate/corner_radius": "30 mm"})
    assert "thin-edge" in found(hole, **{"/plate/edge_chamfer": "7 mm"})


STEEL = {"/plate/material": "steel-1018", "/plate/finish": "plain"}


def test_handles_for_less_than_the_plate_weighs_are_a_caution() -> None:
    light, heavy = (
        found(
            **{
                "/plate/handles": pairs,
                "/plate/material": "steel-1018",
                "/plate/finish": "plain",
                "/plate/length": size,
            }
        )
        for pairs, size in (("two_pairs", "300 mm"), ("one_pair", "700 mm"))
    )
    assert "handles-rating" not in light
    assert heavy["handles-rating"]["severity"] == "caution"
    assert "local rules" in heavy["handles-rating"]["message"]
