"""The trade's standard holes: bores from the narrowest to the widest, and as much thread as there is room for."""

from math import pi

import pytest

from tallyplate.contract import (
    Bore,
    Hole,
    combination_hole,
    holding_hole,
    locating_hole,
    pin_hole,
    tapped_hole,
)
from tests.plates import built, installation

SHOP = installation().shops[0]
SCREWS = list(SHOP.screws)
THICKNESSES = [0.5, 10.0, 20.0, 40.0, 90.0]


def _holes(screw: str, thickness: float) -> dict[str, Hole]:
    return {
        "tapped": tapped_hole(screw, thickness, SHOP),
        "tapped with insert": tapped_hole(screw, thickness, SHOP, insert=True),
        "combination": combination_hole(screw, thickness, SHOP, bushed=False),
        "combination, bushed": combination_hole(screw, thickness, SHOP, bushed=True),
        "locating": locating_hole(screw, thickness, SHOP, bushed=False),
        "locating, bushed": locating_hole(screw, thickness, SHOP, bushed=True),
        "holding": holding_hole(screw, thickness, SHOP),
        "pin": pin_hole(screw, thickness, SHOP, through=False),
        "retractable pin": pin_hole(screw, thickness, SHOP, through=True),
    }


@pytest.mark.parametrize("screw", SCREWS)
@pytest.mark.parametrize("thickness", THICKNESSES)
def test_no_bore_or_thread_is_deeper_than_the_plate_and_each_bore_is_wider_and_shallower(
    screw: str, thickness: float
) -> None:
    for name, hole in _holes(screw, thickness).items():
        diameters = [bore.diameter for bore in hole.bores]
        depths = [bore.depth for bore in hole.bores]
        assert diameters == sorted(set(diameters)), name
        assert depths == sorted(depths, reverse=True), name
        assert 0 < max(depths) <= thickness, name
        if hole.thread:
            assert 0 < hole.thread.depth <= thickness, name
            assert hole.thread.major > hole.bores[0].diameter, name


@pytest.mark.parametrize("screw", SCREWS)
def test_a_bushing_or_insert_goes_where_it_was_asked_for(screw: str) -> None:
    for name, hole in _holes(screw, 50.0).items():
        assert ("bushing" in hole.parts) == ("bushed" in name)
        assert ("thread_insert" in hole.parts) == ("insert" in name)
        assert not hole.parts or hole.size == screw


@pytest.mark.parametrize("screw", SCREWS)
def test_a_combination_hole_threads_what_the_bushing_leaves(screw: str) -> None:
    size = SHOP.screws[screw]
    usual = float(SHOP.usual.thread_diameters * size.major)
    deep = combination_hole(screw, size.bushing_length + usual + 5, SHOP, bushed=True).thread
    shallow = combination_hole(screw, size.bushing_length + 3, SHOP, bushed=True).thread
    assert deep is not None
    assert deep.depth == pytest.approx(usual)
    assert shallow is not None
    assert shallow.depth == pytest.approx(3)
    assert combination_hole(screw, float(size.bushing_length), SHOP, bushed=True).thread is None


def test_only_a_blind_pin_hole_has_a_floor() -> None:
    for name, hole in _holes("M12", 50.0).items():
        assert hole.through == (name != "pin")
        assert (hole.bores[0].depth < 50.0) == (name == "pin")


def test_walls_count_each_stretch_of_depth_at_the_diameter_that_is_open_there() -> None:
    stepped = Hole((Bore(10, 40), Bore(16, 15), Bore(20, 5, flat=True)))
    assert stepped.wall_area == pytest.approx(pi * (20 * 5 + 16 * 10 + 10 * 25))
    assert Hole((Bore(10, 40),)).wall_area == pytest.approx(pi * 400)


def test_parts_of_like_holes_are_counted_together() -> None:
    build = built({"/plate/pattern/thread_inserts": True})
    counts = {group.kind: group.count for group in build.holes}
    fitted = {(part.kind, part.size): part.count for part in build.fitted()}
    assert fitted == {
        ("bushing", "M12"): counts["combination"],
        ("thread_insert", "M12"): counts["combination"] + counts["tapped"],
    }


@pytest.mark.parametrize(("material", "bushed"), [("al-5083", True), ("steel-1018", False), ("iron-grey", False)])
def test_soft_metal_is_bushed_unless_the_caller_says_otherwise(material: str, bushed: bool) -> None:
    # Common practice, no source.
    assert bool(built({"/plate/material": material}).fitted()) == bushed
    turned = {"/plate/material": material, "/plate/pattern/bushings": not bushed}
    assert bool(built(turned).fitted()) != bushed
