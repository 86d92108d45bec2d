"""Faces, edges and grinding: removal at the material's rate, strips of the face mill, passes around the edge."""

from math import pi
from typing import Any

import pytest
from msgspec.structs import replace

from tallyplate.contract import (
    Blank,
    CubicMillimetresPerSecond,
    Length,
    Millimetres,
    MillimetresPerSecond,
    Percentage,
    ShopData,
    Size,
    TurnsPerSecond,
)
from tallyplate_plugins.costs.squaring import MODULE, Figures, face_pass
from tests.costs.plain import ALUMINIUM, BUILD, said, seconds, shop

FIGURES = Figures(
    cutter=Size(50),
    teeth=5,
    feed_per_tooth=Size(0.2),
    overlap=Percentage(0.2),
    edge_depth=Size(10),
    grind_below_flatness=Length(0.02, "0.02 mm"),
    grind_below_position=Length(0.03, "0.03 mm"),
    grinding_stock=Millimetres(0.1),
    grinding=CubicMillimetresPerSecond(40),
)


def _shop(turns: float = 20.0, limit: float = 100.0) -> ShopData:
    """A face mill that turns so often a second unless the spindle cannot; 1000 mm3/s in roughing."""
    plain = shop(FIGURES)
    metal = plain.materials[ALUMINIUM]
    speeds = replace(
        metal.speeds, milling=MillimetresPerSecond(turns * pi * 50), removal=CubicMillimetresPerSecond(1000)
    )
    machine = replace(plain.machine, spindle=TurnsPerSecond(limit))
    return replace(plain, materials={ALUMINIUM: replace(metal, speeds=speeds)}, machine=machine)


# Table feed: 0.2 mm x 5 teeth x 20 /s = 20 mm/s. Strips of 40 mm: 5 over 200 mm, each 300 + 50 mm; along the width
# 8 strips of 200 + 50 mm would be longer. Off the faces: 310 x 210 x 5 mm = 325 500 mm3.
FACES = 325.5 + 2 * 5 * 350 / 20
# Off the edges: (310 x 210 - 300 x 200) x 20 mm = 102 000 mm3. Twice 10 mm deep around 1000 mm.
EDGES = 102.0 + 2 * 1000 / 20


def test_faces_and_edges_are_roughed_at_the_removal_rate_and_finished_at_the_table_feed() -> None:
    assert seconds(said(MODULE, BUILD, _shop())) == [
        ("milling faces", "mill", FACES, 0),
        ("milling edges", "mill", EDGES, 0),
    ]


def test_the_face_mill_turns_no_faster_than_the_spindle() -> None:
    faces, edges = said(MODULE, BUILD, _shop(turns=20.0, limit=10.0))
    assert faces.per_plate * 3600 == pytest.approx(325.5 + 2 * 5 * 350 / 10)
    assert edges.per_plate * 3600 == pytest.approx(102 + 2 * 1000 / 10)
    assert faces.basis.endswith(", two faces finished")
    assert edges.basis.endswith(", 2 passes around")


@pytest.mark.parametrize(("thickness", "passes"), [(10.0, 1), (20.0, 2), (20.1, 3), (30.0, 3)])
def test_an_edge_just_as_deep_as_the_passes_takes_no_further_one(thickness: float, passes: int) -> None:
    body = replace(BUILD.body, thickness=thickness)
    true = replace(BUILD, body=body, blank=Blank("plate", 300.0, 200.0, thickness))
    _, edges = said(MODULE, true, _shop())
    assert edges.per_plate * 3600 == pytest.approx(passes * 1000 / 20)


@pytest.mark.parametrize(
    ("changed", "ground"),
    [
        ({"flatness": 0.02, "position_tolerance": 0.03}, False),
        ({"flatness": 0.019}, True),
        ({"position_tolerance": 0.029}, True),
    ],
)
def test_faces_are_ground_below_a_flatness_or_a_position_and_not_at_it(changed: dict[str, Any], ground: bool) -> None:
    charged = seconds(said(MODULE, replace(BUILD, **changed), _shop()))[2:]
    # Two faces of 60 000 mm2, 0.1 mm each, at 40 mm3/s.
    assert charged == [("grinding faces", "grinder", 300.0, 0)] * ground


@pytest.mark.parametrize(
    ("length", "width", "overlap", "way"),
    [
        (400.0, 100.0, 0.0, 500),  # one strip of the cutter's own width
        (100.0, 400.0, 0.0, 500),  # whichever side is quicker
        (400.0, 100.1, 0.0, 800.4),  # a tenth more: two strips of 500 mm, so four of 100.1 + 100 mm are quicker
        (400.0, 300.0, 0.25, 2000),  # strips of 75 mm: four of 500 mm, against six of 400 mm
    ],
)
def test_a_face_is_milled_in_strips_along_the_quicker_side(
    length: float, width: float, overlap: float, way: float
) -> None:
    assert face_pass(length, width, 100.0, overlap, 2.0) == pytest.approx(way / 2)


@pytest.mark.parametrize(("changed"), [{"teeth": 0}, {"overlap": Percentage(1)}])
def test_a_cutter_that_gets_nowhere_is_refused(changed: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match="teeth must be at least 1 and overlap below 100 %"):
        replace(FIGURES, **changed)


def test_a_cutter_with_one_tooth_gets_somewhere() -> None:
    one = _shop()
    one = replace(one, sections={"squaring": replace(FIGURES, teeth=1)})
    faces, _ = said(MODULE, BUILD, one)
    assert faces.per_plate * 3600 == pytest.approx(325.5 + 5 * 2 * 5 * 350 / 20)
