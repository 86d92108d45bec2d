"""Joints: dowels and keys, holes and seats in the edges, a clamping for each, and room for all of it or a refusal."""

from typing import Any

import pytest
from msgspec.structs import replace

from tallyplate.contract import HoleGroup, Points, Refusal, holding_hole
from tallyplate.sets.joints import joined
from tests.plates import built, installation
from tests.sets.orders import answered, entry

SHOP = installation().shops[-1]
PATTERN = {"pitch": "50 mm", "screw": "M12", "margin": "25 mm"}
PLATE: dict[str, Any] = {
    "/plate/length": "400 mm",
    "/plate/width": "300 mm",
    "/plate/thickness": "48 mm",
    "/plate/pattern": PATTERN,
    "/plate/mounting": {"surface": "none"},
}
SECTION = entry(length="400 mm", width="300 mm", thickness="48 mm", pattern=PATTERN, mounting={"surface": "none"})


def _refused(changes: dict[str, Any], *edges: Any) -> str:
    with pytest.raises(Refusal) as refused:
        joined(built({**PLATE, **changes}), edges or ("right",), SHOP, "/plates/4/joined")
    (fault,) = refused.value.faults
    assert fault.pointer == "/plates/4/joined"
    assert "accepted: " in fault.message
    return fault.message


def test_a_joint_adds_holes_and_seats_to_its_edge_and_a_clamping_and_one_side_brings_the_parts() -> None:
    plain = built(PLATE)
    for edge, brings in (("right", True), ("top", True), ("left", False), ("bottom", False)):
        made = joined(plain, (edge,), SHOP, "")  # type: ignore[arg-type]
        (dowels,) = [group for group in made.holes if group not in plain.holes]
        (seats,) = [recess for recess in made.recesses if recess not in plain.recesses]
        assert (dowels.count, seats.count, made.setups) == (2, 2, plain.setups + 1)
        assert dowels.face == seats.face == f"{edge} edge"
        parts = [(part.kind, part.count) for part in made.hardware]
        assert parts == ([("joint_dowel", 2), ("joint_key", 2)] if brings else [])


def test_dowels_lie_in_the_first_and_last_gap_between_the_rows_that_run_up_to_the_edge() -> None:
    plain = built(PLATE)
    for edge, along in (("right", (50.0, 250.0)), ("bottom", (50.0, 350.0))):
        layout = joined(plain, (edge,), SHOP, "").holes[-1].layout  # type: ignore[arg-type]
        assert layout == Points(((along[0], 24.0), (along[1], 24.0)))


def test_both_sides_of_a_joint_have_their_dowels_at_the_same_places() -> None:
    plain = built(PLATE)
    left, right = (joined(plain, (edge,), SHOP, "").holes[-1] for edge in ("left", "right"))
    assert (left.layout, left.hole) == (right.layout, right.hole)


def test_dowels_are_as_large_as_the_thickness_has_room_for() -> None:
    sizes = {}
    for thickness in (40, 48, 60):
        made = joined(built({**PLATE, "/plate/thickness": f"{thickness} mm"}), ("right",), SHOP, "")
        sizes[thickness] = SHOP.screws[made.hardware[-1].size].locating
        assert sizes[thickness] <= thickness / 3
    assert sizes[40] <= sizes[48] < sizes[60]


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"/plate/thickness": "30 mm"}, "no room in an edge of 30 mm"),
        ({"/plate/pattern": {**PATTERN, "pitch": "30 mm"}}, "rows 30 mm apart"),
        ({"/plate/pattern": {**PATTERN, "margin": "9 mm"}, "/plate/length": "368 mm"}, "or margin"),
        ({"/plate/width": "100 mm"}, "2 rows run up to the edge; accepted: at least 3"),
        ({"/plate/pattern": {"arrangement": "separate"}}, "lattices; accepted: plates with one lattice"),
    ],
)
def test_a_plate_without_room_for_a_joint_is_refused(changes: dict[str, Any], says: str) -> None:
    assert says in _refused(changes, "right")


@pytest.mark.parametrize(("place", "fits"), [((390.0, 60.0), False), ((390.0, 100.0), True), ((300.0, 60.0), True)])
def test_a_hole_of_the_mounting_in_the_way_of_a_dowel_is_told(place: tuple[float, float], fits: bool) -> None:
    plain = built(PLATE)
    held = HoleGroup("holding", holding_hole("M16", 48.0, SHOP), Points((place,)), mounting=True)
    build = replace(plain, holes=(*plain.holes, held))
    if fits:
        assert joined(build, ("right",), SHOP, "").setups == plain.setups + 1
    else:
        with pytest.raises(Refusal, match="clear of the mounting's holes"):
            joined(build, ("right",), SHOP, "")


def test_a_disc_and_a_block_are_not_joined() -> None:
    disc = {"/plate": {"family": "round", "diameter": "300 mm", "material": "al-6061-t6"}}
    block = {"family": "tombstone", "faces": 4, "face_width": "400 mm", "height": "600 mm", "material": "al-6061-t6"}
    for plate in (disc, {"/plate": block}):
        with pytest.raises(Refusal, match="accepted: a rectangular plate"):
            joined(built(plate), ("right",), SHOP, "")


def test_a_set_prices_joints_and_cautions_of_each_joined_plate() -> None:
    apart = answered(SECTION, SECTION)
    answer = answered({**SECTION, "joined": ["right"]}, {**SECTION, "joined": ["left"]})
    assert float(answer.total) > float(apart.total)
    bought = [line.item for plate in answer.plates for line in plate.lines if line.item.startswith("joint")]
    assert bought == [
        "joint dowel holes", "joint key seats", "joint dowels M12", "joint keys M12", "joint dowel holes",
        "joint key seats",
    ]  # fmt: skip
    for place, plate in enumerate(answer.plates):
        (caution,) = [one for one in plate.findings if one.code == "joined"]
        assert (caution.severity.value, caution.pointer) == ("caution", f"/plates/{place}/joined")
        assert "neither as stiff nor as true as one piece" in caution.message


def test_plates_joined_alike_are_counted_together_and_others_are_not() -> None:
    right, left = {**SECTION, "joined": ["right"]}, {**SECTION, "joined": ["left"]}
    assert answered(right, left, right).plates[2].like == "/plates/0"
    assert not answered(right, left).plates[1].like


def test_an_edge_that_a_plate_has_not_is_refused_with_its_place() -> None:
    with pytest.raises(Refusal) as refused:
        answered(SECTION, {**SECTION, "joined": ["front"]})
    (fault,) = refused.value.faults
    assert fault.pointer == "/plates/1/joined/0"
    assert "left, right, bottom, top" in fault.message
