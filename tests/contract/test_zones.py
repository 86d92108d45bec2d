"""Zones: parts of a plate that have a pattern each, told apart on lines, drawings, schedules and in findings."""

import json
from collections import Counter
from datetime import date
from math import dist, inf
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tallyplate.contract import Build, Lattice, Refusal
from tallyplate.documents.drawings.paper import DrawingOptions
from tallyplate.documents.drawings.shapes import Text
from tallyplate.documents.drawings.sheet import sheet
from tallyplate.documents.measures import MEASURES
from tallyplate.documents.schedules.holes import given_up_names, named_holes
from tallyplate.documents.schedules.schedule import schedule_json
from tallyplate.findings import Case, of_plate
from tests.plates import answer, built, installation

BASE: dict[str, Any] = {
    "family": "rectangular", "length": "700 mm", "width": "450 mm", "material": "al-6061-t6",
    "mounting": {"surface": "none"},
}  # fmt: skip
LEFT: dict[str, Any] = {"length": "350 mm", "width": "450 mm", "pattern": {"pitch": "35 mm", "screw": "M12"}}
RIGHT: dict[str, Any] = {
    "corner": {"x": "350 mm"}, "length": "350 mm", "width": "200 mm",
    "pattern": {"arrangement": "combination", "screw": "M10", "pitch": "50 mm"},
}  # fmt: skip
SHOP = installation().shops[-1]


def plate(*zones: dict[str, Any], **more: Any) -> Build:
    return built({"/plate": BASE | {"zones": list(zones)} | more})


def alone(zone: dict[str, Any]) -> Build:
    """The pattern of a zone on a plate of its size."""
    sizes = {"length": zone["length"], "width": zone["width"], "pattern": zone["pattern"]}
    return built({"/plate": BASE | sizes})


def test_a_zone_is_laid_out_as_a_plate_of_its_size_and_moved_to_its_corner() -> None:
    above = RIGHT | {"corner": {"x": "350 mm", "y": "200 mm"}}
    of_zones = plate(LEFT, RIGHT, above).holes
    expected = [
        (group.kind, group.hole, number, x + aside, y + up)
        for number, zone, aside, up in ((1, LEFT, 0.0, 0.0), (2, RIGHT, 350.0, 0.0), (3, above, 350.0, 200.0))
        for group in alone(zone).holes
        for x, y in group.layout.positions()
    ]
    found = [(one.kind, one.hole, one.zone, x, y) for one in of_zones for x, y in one.layout.positions()]
    assert Counter(found) == Counter(expected)
    assert {group.asked for group in of_zones} == {f"/plate/zones/{number}/pattern" for number in range(3)}


def test_each_line_names_its_zone_and_so_do_marks() -> None:
    told = answer({"/plate": BASE | {"zones": [LEFT, RIGHT]}})
    items = [line["item"] for line in told["lines"] if line["module"] in {"holes", "marking"}]
    assert items == [
        "combination holes, zone 1", "tapped holes, zone 1", "combination holes, zone 2",
        "engraving zone 1 bottom side", "engraving zone 1 left side",
        "engraving zone 2 bottom side", "engraving zone 2 left side",
    ]  # fmt: skip
    characters = {one.side: one.characters for one in plate(LEFT, RIGHT).marks}
    for number, zone in ((1, LEFT), (2, RIGHT)):
        assert {one.side: one.characters for one in alone(zone).marks} == {
            side: characters[f"zone {number} {side}"] for side in ("bottom", "left")
        }


def test_the_answer_says_that_coordinates_begin_anew_in_every_zone() -> None:
    def codes(**more: Any) -> set[str]:
        return {one.code for one in of_plate(Case(plate(LEFT, RIGHT, **more), SHOP))}

    assert "marked-by-zone" in codes()
    assert "marked-by-zone" not in codes(marking={"edges": []})
    assert "marked-by-zone" not in {one.code for one in of_plate(Case(alone(LEFT), SHOP))}


def refused(*zones: dict[str, Any], **more: Any) -> dict[str, str]:
    with pytest.raises(Refusal) as refusal:
        plate(*zones, **more)
    return {fault.pointer: fault.message for fault in refusal.value.faults}


def test_zones_that_overlap_are_refused_by_their_numbers() -> None:
    third = RIGHT | {"corner": {"x": "350 mm", "y": "199.9 mm"}}
    faults = refused(LEFT, RIGHT, third)
    assert set(faults) == {"/plate/zones/2"}
    assert "zone 3 overlaps zone 2 by 350 by 0.1 mm" in faults["/plate/zones/2"]
    assert plate(LEFT, RIGHT, RIGHT | {"corner": {"x": "350 mm", "y": "200 mm"}}).zones[2].y == 200


def test_a_zone_that_leaves_the_plate_is_refused_and_told_how_far_it_may_reach() -> None:
    faults = refused(RIGHT | {"corner": {"x": "350.1 mm", "y": "251 mm"}})
    assert {pointer: message[-9:].strip() for pointer, message in faults.items()} == {
        "/plate/zones/0/length": "349.9 mm", "/plate/zones/0/width": "to 199 mm",
    }  # fmt: skip


def test_a_pattern_beside_zones_is_refused_and_none_is_assumed() -> None:
    assert set(refused(LEFT, pattern={"pitch": "50 mm"})) == {"/plate/pattern"}
    told = answer({"/plate": BASE | {"zones": [LEFT]}})
    assert not any(one["pointer"].startswith("/plate/pattern") for one in told["assumed"])
    assert any(one["pointer"] == "/plate/zones/0/pattern/arrangement" for one in told["assumed"])


def test_screws_that_are_not_on_offer_are_refused_in_every_zone_at_once() -> None:
    wrong = {"screw": "M13"}
    faults = refused(LEFT | {"pattern": wrong}, RIGHT | {"pattern": wrong})
    assert set(faults) == {"/plate/zones/0/pattern/screw", "/plate/zones/1/pattern/screw"}


def test_zones_too_fine_to_be_held_against_each_other_are_refused() -> None:
    fine = {"pattern": {"pitch": "0.15 mm", "margin": "0.15 mm", "pitch_across": "0.3 mm"}}
    assert "accepted: pitches" in refused(LEFT | fine, RIGHT | fine)["/plate/zones"]


def test_holes_of_neighbouring_zones_too_near_to_each_other_are_an_error_that_names_both() -> None:
    # A bushing for M12 is 26 mm wide, and 2.5 mm stay solid; ten pitches reach from margin to margin.
    def found(margin: str, pitch: str) -> dict[str, str]:
        of = {"arrangement": "combination", "screw": "M12", "pitch": pitch, "pitch_across": "60 mm", "margin": margin}
        both = plate(LEFT | {"pattern": of}, RIGHT | {"pattern": of})
        return {one.code: one.message for one in of_plate(Case(both, SHOP))}

    message = found("14.245 mm", "32.151 mm")["thin-wall"]
    assert "holes (combination, zone 1) and holes (combination, zone 2) leave too thin a wall: 2.49 mm" in message
    assert "thin-wall" not in found("14.25 mm", "32.15 mm")


@settings(max_examples=60, deadline=None)
@given(
    st.integers(90, 400), st.integers(90, 400), st.integers(13, 40), st.integers(13, 40), st.integers(25, 60),
    st.sampled_from(("combination", "alternating")), st.booleans(),
)  # fmt: skip
def test_no_wall_between_zones_is_thinner_than_the_least_where_nothing_is_said(
    length: int, other: int, margin: int, other_margin: int, pitch: int, arrangement: str, above: bool
) -> None:
    corner = {"y": "200 mm"} if above else {"x": f"{length} mm"}
    first = LEFT | {
        "length": f"{length} mm", "width": "200 mm",
        "pattern": {"pitch": f"{pitch} mm", "margin": f"{margin} mm", "arrangement": arrangement},
    }  # fmt: skip
    second = RIGHT | {"length": f"{min(other, 690 - length)} mm", "corner": corner}
    second["pattern"] = RIGHT["pattern"] | {"margin": f"{other_margin} mm"}
    build = plate(first, second)
    holes = [(group, at) for group in build.holes for at in group.layout.positions()]
    wall = min(
        (
            dist(a, b) - (one.hole.widest + two.hole.widest) / 2
            for one, a in holes
            for two, b in holes
            if one.zone < two.zone
        ),
        default=inf,
    )
    if not any(one.code == "thin-wall" and "zone 2" in one.message for one in of_plate(Case(build, SHOP))):
        assert wall >= SHOP.walls.between_holes - 1e-6


SLOTS = {"surface": "t_slots", "slot_width": "18 mm", "slot_spacing": "100 mm", "screw": "M16"}


def test_every_hole_has_a_name_of_its_own_and_what_is_given_up_is_named_with_its_zone() -> None:
    build = plate(LEFT, RIGHT, mounting=SLOTS)
    names = [hole.name for hole in named_holes(build)]
    assert len(names) == len(set(names)) == sum(group.count for group in build.holes)
    assert {"Z1-A2", "Z2-B1"} <= set(names)
    assert build.given_up
    for kind, name in given_up_names(build):
        assert name.startswith(f"Z{kind[-1]}-")
        assert name not in names
    said = next(one for one in of_plate(Case(build, SHOP)) if one.code == "given-up")
    assert said.pointer == "/plate/zones"
    assert f"({build.given_up[0][0]})" in said.message


def test_a_schedule_says_where_each_zone_lies_and_what_is_engraved_in_it() -> None:
    build = plate(LEFT, RIGHT)
    told = json.loads(b"".join(schedule_json(build, SHOP, 1, date(2026, 3, 2), MEASURES["mm"])))
    (view,) = told["views"]
    assert (view["lattice"], view["marked"]) == (None, [])
    first, second = view["zones"]
    assert (first["zone"], first["x"], first["length"], first["marked"]) == (1, "0", "350", ["bottom", "left"])
    assert (second["x"], second["lattice"]["columns"], second["lattice"]["pitch_x"]) == ("350", 6, "50")
    plain = built({"/plate": BASE})
    told = json.loads(b"".join(schedule_json(plain, SHOP, 1, date(2026, 3, 2), MEASURES["mm"])))
    assert "zones" not in told["views"][0]


def test_a_drawing_shows_every_zone_with_its_number_and_engraves_it_along_its_own_edges() -> None:
    drawn = sheet(plate(LEFT, RIGHT), SHOP, 1, date(2026, 3, 2), DrawingOptions())
    words = [shape.words for shape in drawn.shapes if isinstance(shape, Text)]
    assert "Zone 1: 9 \u00d7 11 at 35 \u00d7 35 from 35, 35" in words
    assert "Zone 2: 6 \u00d7 3 at 50 \u00d7 50 from 400, 50" in words
    letters = [shape for shape in drawn.shapes if isinstance(shape, Text) and shape.words == "A"]
    assert len(letters) == 2
    first, second = sorted(shape.at for shape in letters)
    view, scale = drawn.views[-1], drawn.views[-1].scale
    assert first[0] == pytest.approx(view.at(35, 0)[0], abs=0.5 * scale)
    assert second[0] == pytest.approx(view.at(400, 0)[0], abs=0.5 * scale)


@pytest.mark.parametrize("more", [{"laid_from": "table"}, {"laid_from": "shared"}, {"staggered": True}])
def test_zones_take_every_answer_of_a_pattern(more: dict[str, Any]) -> None:
    pattern = RIGHT["pattern"] | more
    build = plate(LEFT, RIGHT | {"pattern": pattern}, mounting=SLOTS | {"locate": "none"})
    (group,) = [one for one in build.holes if one.zone == 2]
    assert isinstance(group.layout, Lattice)
    if "laid_from" in more and more["laid_from"] == "table":
        (held,) = [one for one in build.holes if one.mounting]
        _, line = next(iter(held.layout.positions()))
        assert (line - group.layout.y) % 50 == pytest.approx(0, abs=1e-9)


def test_beyond_a_few_zones_screws_stand_as_far_out_as_the_table_lets() -> None:
    def outermost(count: int) -> tuple[float, float]:
        width = f"{700 / count:.3f} mm"
        zones = [
            {
                "length": width,
                "width": "450 mm",
                "pattern": {"screw": "M10", "pitch": f"{70 + number} mm", "margin": "22 mm"},
            }
            | ({"corner": {"x": f"{number * 700 / count:.3f} mm"}} if number else {})
            for number in range(count)
        ]
        build = plate(*zones, length="700.1 mm", mounting=SLOTS | {"locate": "none"})
        (held,) = [group for group in build.holes if group.mounting]
        return min(held.layout.positions())

    screw = SHOP.screws["M16"]
    inset = screw.counterbore / 2 + SHOP.walls.to_edge
    assert outermost(5) == pytest.approx((inset, 25.05), abs=0.06)
    assert outermost(4)[0] > inset


def test_a_row_that_stays_bare_in_a_zone_makes_the_plate_no_dearer() -> None:
    every, fewer = (
        float(answer({"/plate": BASE | {"zones": [LEFT, RIGHT | {"pattern": RIGHT["pattern"] | more}]}})["total"])
        for more in ({}, {"rows_left_out": [2]})
    )
    assert fewer < every
