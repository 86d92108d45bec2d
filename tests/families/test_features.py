"""Features of flat plates: what is made of each, what the pattern gives up, and what is refused with its field."""

from math import hypot, pi
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from shapely.affinity import rotate
from shapely.geometry import Point

from tallyplate.contract import Build, Lattice, Refusal, Usual, it7
from tallyplate.contract.featured import MOST_CORNERS, MOST_HOLES
from tallyplate.contract.giving_way import MAX_GIVEN_UP
from tallyplate.inquiry import read
from tests.plates import answer, built, installation, request
from tests.strategies import SHOP

FREE: dict[str, Any] = {"surface": "none"}
GRID: dict[str, Any] = {"arrangement": "combination", "pitch": "30 mm", "screw": "M10", "margin": "30 mm"}
BARE: dict[str, Any] = {"/plate/mounting": FREE, "/plate/pattern": GRID, "/plate/marking": {"edges": []}}

HOLE = {"feature": "hole", "kind": "tapped", "screw": "M12", "at": [{"x": "100 mm", "y": "80 mm"}]}
CIRCLE = {"feature": "bolt_circle", "kind": "plain", "diameter": "9 mm", "circle": "100 mm", "count": 6}
POCKET = {"feature": "pocket", "length": "80 mm", "width": "40 mm", "depth": "12 mm", "corner_radius": "8 mm"}
SLOT = {
    "feature": "slot",
    "start": {"x": "100 mm", "y": "80 mm"},
    "end": {"x": "160 mm", "y": "80 mm"},
    "width": "14 mm",
}
TRIANGLE = [{"x": "100 mm", "y": "80 mm"}, {"x": "200 mm", "y": "80 mm"}, {"x": "100 mm", "y": "160 mm"}]
CUT_OUT = {"feature": "cut_out", "outline": TRIANGLE, "corner_radius": "10 mm"}
KEEP_OUT = {"feature": "keep_out", "diameter": "120 mm"}
ROUND = {"family": "round", "diameter": "400 mm", "thickness": "40 mm", "material": "al-6061-t6"}


def featured(*features: dict[str, Any], **changes: Any) -> Build:
    return built({**BARE, "/plate/features": list(features), **changes})


def places(build: Build, kind: str = "combination") -> set[tuple[float, float]]:
    return {
        spot
        for group in build.holes
        if group.kind == kind and isinstance(group.layout, Lattice)
        for spot in group.layout.positions()
    }


def test_a_blind_tapped_hole_keeps_room_for_the_tap_below_its_thread() -> None:
    (group,) = [group for group in featured(HOLE | {"depth": "25 mm"}).holes if group.placed]
    assert (group.kind, group.asked, group.hole.through) == ("tapped", "/plate/features/0", False)
    assert group.hole.bores[0].depth == 25
    assert group.hole.thread is not None
    assert group.hole.thread.depth == pytest.approx(25 - 3 * 1.75)  # three pitches of the tap's lead
    assert list(group.layout.positions()) == [(100, 80)]


@pytest.mark.parametrize(
    ("kind", "diameters"),
    [("clearance", [13.5]), ("counterbored", [13.5, 20]), ("locating", [20, 26]), ("combination", [10.3, 26])],
)
def test_holes_of_a_screw_have_its_standard_sizes(kind: str, diameters: list[float]) -> None:
    (group,) = [group for group in featured(HOLE | {"kind": kind}).holes if group.placed]
    screw = SHOP.screws["M12"]
    known = {
        "clearance": [screw.clearance], "counterbored": [screw.clearance, screw.counterbore],
        "locating": [screw.locating, screw.bushing_outside], "combination": [screw.tap_drill, screw.bushing_outside],
    }  # fmt: skip
    assert len(diameters) == len(known[kind])
    assert [bore.diameter for bore in group.hole.bores] == pytest.approx([float(size) for size in known[kind]])


@given(st.integers(1, 200), st.integers(-360, 360), st.integers(10, 200))
def test_a_bolt_circle_lies_where_a_general_library_turns_its_first_hole(count: int, angle: int, circle: int) -> None:
    asked = CIRCLE | {"count": count, "start_angle": angle, "circle": f"{circle} mm", "diameter": "0.5 mm"}
    (group,) = [group for group in featured(asked).holes if group.placed]
    for number, spot in enumerate(group.layout.positions()):
        turned = rotate(Point(350 + circle / 2, 225), angle + 360 / count * number, origin=(350, 225))
        assert spot == pytest.approx((turned.x, turned.y))


def test_a_bore_is_close_in_the_middle_unless_it_is_said() -> None:
    (group,) = [group for group in featured({"feature": "bore", "diameter": "80 mm"}).holes if group.placed]
    (bore,) = group.hole.bores
    assert (bore.diameter, bore.tolerance) == (80, it7(80))
    assert list(group.layout.positions()) == [(350, 225)]


def test_a_pocket_a_slot_and_a_cut_out_have_their_outlines() -> None:
    pocket, slot, cut = featured(POCKET | {"face": "bottom"}, SLOT, CUT_OUT).milled
    assert (pocket.kind, pocket.face, pocket.through) == ("pocket", "bottom", False)
    assert pocket.depth == 12
    assert pocket.outline.box == pytest.approx((310, 205, 390, 245))
    assert pocket.outline.radius == pocket.corner == 8
    assert (slot.kind, slot.through) == ("slot", True)
    assert (slot.depth, *slot.outline.sizes) == (40.0, 74.0, 14.0)
    assert (cut.kind, cut.through) == ("cut-out", True)
    assert (cut.corner, cut.outline.radius) == (10.0, 0.0)
    assert cut.outline.area == pytest.approx(100 * 80 / 2)
    assert [one.words for one in (pocket, slot, cut)] == [
        "80 x 40 x 12 mm", "74 x 14 mm through", "of 3 corners within 100 x 80 mm",
    ]  # fmt: skip


def test_corners_are_usually_those_of_the_slimmest_end_mill_that_reaches_and_it_is_said() -> None:
    bare = {name: value for name, value in POCKET.items() if name != "corner_radius"}
    assumed = {one["pointer"]: one for one in answer({**BARE, "/plate/features": [bare]})["assumed"]}
    mill = next(mill for mill in SHOP.cutting.end_mills if mill.reach >= 12)
    assert assumed["/plate/features/0/corner_radius"]["value"] == f"{mill.diameter / 2:g} mm"


AREAS = st.sampled_from([HOLE, CIRCLE, POCKET, SLOT, CUT_OUT, KEEP_OUT, {"feature": "bore", "diameter": "63 mm"}])


@settings(max_examples=40)
@given(st.lists(AREAS, min_size=1, max_size=4), st.sampled_from(["30 mm", "37 mm", "52 mm"]))
def test_the_pattern_gives_up_just_what_would_come_too_near_and_lists_it(asked: list[Any], pitch: str) -> None:
    pattern = {"/plate/pattern": GRID | {"pitch": pitch}}
    bare, made = featured(**pattern), featured(*asked, **pattern)
    wide, wall = bare.holes[0].hole.widest / 2, SHOP.walls.between_holes

    def near(spot: tuple[float, float]) -> bool:
        milled = any(one.outline.apart(spot) < wide + wall - 1e-6 for one in made.milled)
        free = any(one.outline.apart(spot) < wide - 1e-6 for one in made.kept_free)
        return milled or free or any(
            hypot(x - spot[0], y - spot[1]) < wide + group.hole.widest / 2 + wall - 1e-6
            for group in made.holes if group.placed for x, y in group.layout.positions()
        )  # fmt: skip

    lost = {spot for spot in places(bare) if near(spot)}
    assert places(made) == places(bare) - lost
    (lattice,) = {group.layout for group in bare.holes if isinstance(group.layout, Lattice)}
    assert {lattice.position(node) for _, node in made.given_up} == lost
    assert made.cleared == len(made.given_up)


def test_a_kept_area_adds_nothing_and_a_disc_has_features_too() -> None:
    made = featured(KEEP_OUT)
    assert len(made.kept_free) == 1
    assert not made.milled
    assert len(made.holes) == 1
    disc = built({"/plate": ROUND | {"features": [POCKET, HOLE | {"at": [{"x": "200 mm", "y": "100 mm"}]}]}})
    assert disc.milled[0].outline.box == pytest.approx((160, 180, 240, 220))
    assert disc.given_up


def points(*spots: tuple[float, float]) -> list[dict[str, str]]:
    return [{"x": f"{x} mm", "y": f"{y} mm"} for x, y in spots]


DISC_OUT = {"feature": "cut_out", "diameter": "50 mm"}
TANGLED = points((9, 9), (99, 99), (99, 9), (9, 99))

REFUSED: dict[str, tuple[dict[str, Any], str, str]] = {
    "no depth of thread": (HOLE | {"depth": "40 mm"}, "/0/depth", "goes through; accepted: less than 40 mm"),
    "off the plate": (HOLE | {"at": points((100, 460))}, "/0/at/0/y", "'460 mm'|460 mm is not on the plate"),
    "unknown screw": (HOLE | {"screw": "M9"}, "/0/screw", "is not on offer"),
    "a plain hole by its screw": (HOLE | {"kind": "plain"}, "/0/screw", "has no meaning"),
    "a plain hole of no size": ({"feature": "hole", "kind": "plain", "at": points((9, 9))}, "/0/diameter", "missing"),
    "a screw's hole by diameter": (HOLE | {"diameter": "9 mm"}, "/0/diameter", "has no meaning for a tapped hole"),
    "no screw": ({"feature": "hole", "kind": "tapped", "at": points((9, 9))}, "/0/screw", "is required and missing"),
    "blind counterbore": (HOLE | {"kind": "counterbored", "depth": "9 mm"}, "/0/depth", "goes through"),
    "circle off the plate": (CIRCLE | {"circle": "450 mm"}, "/0/circle", "less than 450 mm about there"),
    "bore of all": ({"feature": "bore", "diameter": "450 mm"}, "/0/diameter", "leaves no plate"),
    "no floor": (POCKET | {"depth": "40 mm"}, "/0/depth", "leaves no floor; accepted: less than 40 mm"),
    "no end mill so deep and slim": (POCKET | {"depth": "30 mm", "corner_radius": "4 mm"}, "/0/corner_radius", "10 mm"),
    "too round": (POCKET | {"corner_radius": "21 mm"}, "/0/corner_radius", "at most 20 mm"),
    "too narrow": (POCKET | {"width": "5 mm"}, "/0/width", "narrower than any end mill that reaches 12 mm deep"),
    "narrow slot": (SLOT | {"width": "8 mm"}, "/0/width", "at least 10 mm wide"),
    "slot to nowhere": (SLOT | {"end": SLOT["start"]}, "/0/end", "is where the slot starts"),
    "slot without a floor": (SLOT | {"depth": "41 mm"}, "/0/depth", "leaves no floor"),
    "half a rectangle": ({"feature": "cut_out", "length": "90 mm"}, "/0/width", "both sides of a rectangle"),
    "two shapes": ({"feature": "cut_out", "outline": TRIANGLE, "diameter": "50 mm"}, "/0", "exactly one"),
    "no shape": ({"feature": "keep_out"}, "/0", "exactly one"),
    "placed outline": (CUT_OUT | {"at": points((9, 9))[0]}, "/0/at", "states its own places"),
    "round corners": (DISC_OUT | {"corner_radius": "9 mm"}, "/0/corner_radius", "no corners"),
    "crossed": (CUT_OUT | {"outline": TANGLED}, "/0/outline/2", "corner 1 and from corner 3"),
    "folded": (CUT_OUT | {"outline": points((9, 9), (99, 9), (50, 9))}, "/0/outline/1", "meet"),
}  # fmt: skip


@pytest.mark.parametrize(("feature", "pointer", "why"), REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_made_is_refused_with_its_field(feature: dict[str, Any], pointer: str, why: str) -> None:
    with pytest.raises(Refusal, match=why) as refused:
        featured(feature)
    assert [fault.pointer for fault in refused.value.faults] == [f"/plate/features{pointer}"]


def test_every_feature_at_fault_is_named_at_once() -> None:
    with pytest.raises(Refusal) as refused:
        featured(HOLE, POCKET | {"depth": "50 mm"}, SLOT | {"width": "3 mm"})
    assert [fault.pointer for fault in refused.value.faults] == ["/plate/features/1/depth", "/plate/features/2/width"]


def test_holes_and_corners_are_counted_before_they_are_looked_at() -> None:
    many = CIRCLE | {"count": 200, "diameter": "0.5 mm", "circle": "400 mm"}
    with pytest.raises(Refusal, match=f"600 holes; accepted: at most {MOST_HOLES}"):
        featured(many, many, many)
    comb = points(*((10 + 3 * x, 20 + 30 * (x % 2)) for x in range(199)), (400, 9))
    with pytest.raises(Refusal, match=f"1200 corners of outlines; accepted: at most {MOST_CORNERS}"):
        featured(*[{"feature": "keep_out", "outline": comb}] * 6)


def test_an_area_over_a_dense_pattern_is_counted_and_refused() -> None:
    dense = {"/plate/pattern": GRID | {"pitch": "1 mm", "margin": "1 mm"}}
    whole = {"feature": "keep_out", "length": "400 mm", "width": "400 mm"}
    with pytest.raises(Refusal, match=f"at most {MAX_GIVEN_UP}") as refused:
        featured(whole, **dense)
    assert refused.value.faults[0].pointer == "/plate/features/0"


def test_shop_data_without_end_mills_mill_nothing_and_drill_as_ever() -> None:
    old = replace(SHOP, cutting=replace(SHOP.cutting, end_mills=()))
    family = installation().families["rectangular"]

    def made(*features: dict[str, Any]) -> Build:
        spec = read(request({**BARE, "/plate/features": list(features)}), installation().families).plate
        return family.build(spec, old, Usual())

    assert made(HOLE, CIRCLE).cleared
    with pytest.raises(Refusal, match="state no end mills") as refused:
        made(HOLE, POCKET, SLOT)
    assert [fault.pointer for fault in refused.value.faults] == ["/plate/features/1", "/plate/features/2"]


def test_what_is_milled_out_weighs_nothing_and_what_is_lifted_counts_it() -> None:
    """A pocket of 80 x 40 x 12 mm with corners of 8 mm, in aluminium of 2.70 g/cm3: recomputed by hand."""

    def mass(*features: dict[str, Any]) -> dict[str, str]:
        weighed: dict[str, str] = answer({**BARE, "/plate/features": list(features)})["mass"]
        return weighed

    whole, milled = mass(), mass(POCKET)
    out = (80 * 40 - (4 - pi) * 8 * 8) * 12 * 2.70e-6
    assert float(milled.pop("milled")) == pytest.approx(float(whole["each"]) - out, abs=1e-3)
    assert milled == whole == mass(KEEP_OUT)
