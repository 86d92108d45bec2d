"""Cycle times of each operation and of whole holes, in a shop where every feed and speed is a round figure.

Drilling turns 400 / D a second, reaming 200 / D, tapping 80 / D, boring 600 / D, milling 1000 / D; feeds are 0.1 mm a
turn up to 10 mm of diameter and 0.2 mm above. A drill's point of 90 deg is half as long as the drill is wide.
"""

from math import pi

import pytest
from msgspec.structs import replace

from tallyplate.contract import (
    Bore,
    CubicMillimetresPerSecond,
    Degrees,
    Hole,
    Length,
    Millimetres,
    MillimetresPerSecond,
    Percentage,
    Ratio,
    Seconds,
    Size,
    Thread,
    TurnsPerSecond,
)
from tallyplate.contract.cutting import FeedStep
from tallyplate_plugins.machining import Tools, cycle, drill_point, group_seconds, pecking, spindle
from tests.costs.plain import ALUMINIUM, holes, shop

SHOP = shop()
METAL = replace(
    SHOP.materials[ALUMINIUM],
    speeds=replace(
        SHOP.materials[ALUMINIUM].speeds,
        drilling=MillimetresPerSecond(400 * pi),
        reaming=MillimetresPerSecond(200 * pi),
        tapping=MillimetresPerSecond(80 * pi),
        boring=MillimetresPerSecond(600 * pi),
        milling=MillimetresPerSecond(1000 * pi),
        removal=CubicMillimetresPerSecond(60 * pi),
    ),
)
CUTTING = replace(
    SHOP.cutting,
    spot=True,
    chamfer=True,
    approach=Millimetres(2),
    breakthrough=Millimetres(3),
    point_angle=Degrees(90),
    drill_feeds=(FeedStep(Length(10, "10 mm"), Size(0.1)), FeedStep(Length(20, "20 mm"), Size(0.2))),
    ream_feed=Ratio(3),
    bore_feed=Size(0.05),
    counterbore_factor=Percentage(0.5),
    spot_diameter=Length(6, "6 mm"),
    ream_allowance=Millimetres(0.5),
    peck_from=Ratio(3),
    thread_mill_from=Length(20, "20 mm"),
    thread_mill_feed=Size(0.25),
    thread_mill_share=Percentage(0.5),
)
MACHINE = replace(
    SHOP.machine,
    traverse=MillimetresPerSecond(500),
    retract=MillimetresPerSecond(100),
    settle=Seconds(0.4),
    tool_change=Seconds(5),
    spindle=TurnsPerSecond(1000),
)
SHOP = replace(SHOP, materials={ALUMINIUM: METAL}, cutting=CUTTING, machine=MACHINE)
TOOLS = Tools(METAL, SHOP)
SEAT = Bore(16.0, 12.0, 0.018)


def test_the_spindle_turns_as_the_cutting_speed_asks_and_no_faster_than_it_can() -> None:
    assert spindle(400 * pi, 10.0, 1000.0) == pytest.approx(40)
    assert spindle(400 * pi, 10.0, 39.0) == 39


def test_a_drills_point_is_half_its_diameter_over_the_tangent_of_half_its_angle() -> None:
    assert drill_point(10.0, 90.0) == pytest.approx(5)
    assert drill_point(10.0, 120.0) == pytest.approx(5 / 3**0.5)


@pytest.mark.parametrize(
    ("depth", "withdrawals", "travel"), [(10.0, 0, 0), (30.0, 0, 0), (30.1, 1, 60), (60.0, 1, 60), (90.0, 2, 180)]
)
def test_a_drill_comes_up_after_each_whole_peck_but_the_last(depth: float, withdrawals: int, travel: float) -> None:
    # Pecks of 30 mm: up and down 30 mm after the first, 60 mm after the second.
    found, way = pecking(depth, 10.0, 3.0)
    assert found == withdrawals
    assert way == pytest.approx(travel)


def test_a_drill_is_fed_over_approach_depth_point_and_breakthrough_and_comes_out_at_rapid() -> None:
    assert TOOLS.drill(Bore(10.0, 20.0), through=False) == pytest.approx(27 / 4 + 0.27)
    assert TOOLS.drill(Bore(10.0, 20.0), through=True) == pytest.approx(30 / 4 + 0.30)


def test_a_deep_hole_is_pecked_unless_a_pilot_hole_is_there() -> None:
    # 2 + 70 + 5 mm; after 30 mm and after 60 mm the drill comes up and goes down again.
    assert TOOLS.drill(Bore(10.0, 70.0), through=False) == pytest.approx(77 / 4 + 0.77 + 1.80)
    assert TOOLS.drill(Bore(10.0, 70.0), through=False, pilot=True) == pytest.approx(77 / 4 + 0.77)


def test_each_operation_takes_its_way_over_its_own_feed_and_speed() -> None:
    assert TOOLS.spot() == pytest.approx(5 / (0.1 * 400 / 6) + 0.05)
    assert TOOLS.chamfer(16.0) == pytest.approx(3 / (0.2 * 25) + 0.03)
    assert TOOLS.counterbore(Bore(20.0, 8.0, flat=True)) == pytest.approx(10 / (0.1 * 10) + 0.10)
    assert TOOLS.bore(SEAT) == pytest.approx(14 / (0.05 * 37.5) + 0.14)
    assert TOOLS.ream(SEAT) == pytest.approx(2 * 14 / (0.6 * 12.5))


def test_threads_are_tapped_in_and_out_below_a_size_and_milled_around_from_it_on() -> None:
    assert TOOLS.thread(Thread("M10", 10.0, 1.5, 20.0)) == pytest.approx(2 * 22 / (1.5 * 8))
    # A cutter of 10 mm turns 100 times a second, and goes four times around a circle of 20 - 10 mm; at least once.
    assert TOOLS.thread(Thread("M20", 20.0, 2.5, 10.0)) == pytest.approx(4 * pi * 10 / (0.25 * 100))
    assert TOOLS.thread(Thread("M20", 20.0, 2.5, 1.0)) == pytest.approx(pi * 10 / (0.25 * 100))


def _steps(hole: Hole, *, for_position: bool = False, tools: Tools = TOOLS) -> dict[str, float]:
    return {step.operation: round(step.seconds, 6) for step in tools.steps(hole, for_position=for_position)}


SPOT, CHAMFER, BORE, REAM = 0.8, 0.63, round(14 / 1.875 + 0.14, 6), round(28 / 7.5, 6)
COMBINATION = Hole((Bore(8.0, 24.0), SEAT), Thread("M10", 10.0, 1.5, 15.0))
COMBINED = {
    "spot": SPOT,
    "drill": round(33 / 5 + 0.33, 6),  # through: 2 + 24 + 4 + 3 mm
    "core-drill": round(21.75 * 15.5 / 80 + 0.2175, 6),  # 15.5 mm, 2 + 12 + 7.75 mm, no breakthrough
    "bore": BORE,
    "ream": REAM,
    "chamfer": CHAMFER,
    "tap": round(34 / 12, 6),
}


def test_a_combination_hole_is_spotted_drilled_core_drilled_bored_reamed_chamfered_and_tapped() -> None:
    assert list(_steps(COMBINATION, for_position=True).items()) == list(COMBINED.items())
    unbored = {name: seconds for name, seconds in COMBINED.items() if name != "bore"}
    assert _steps(COMBINATION) == unbored


def test_a_shop_may_neither_spot_nor_chamfer() -> None:
    bare = Tools(METAL, replace(SHOP, cutting=replace(CUTTING, spot=False, chamfer=False)))
    assert list(_steps(COMBINATION, tools=bare)) == ["drill", "core-drill", "ream", "tap"]


def test_a_blind_hole_has_no_breakthrough_and_leaves_an_allowance_for_the_reamer() -> None:
    assert _steps(Hole((SEAT,), through=False)) == {
        "spot": SPOT,
        "drill": COMBINED["core-drill"],
        "ream": REAM,
        "chamfer": CHAMFER,
    }


def test_a_reamer_never_takes_more_than_half_of_a_small_hole() -> None:
    # 0.8 mm less 0.5 mm would be less than half: drilled 0.4 mm wide, 2 + 1 + 0.2 mm, at 1000 turns a second.
    assert _steps(Hole((Bore(0.8, 1.0, 0.01),), through=False))["drill"] == pytest.approx(3.2 / 100 + 0.032)


def test_a_deep_first_bore_is_peck_drilled_and_a_flat_one_counterbored() -> None:
    deep = Hole((Bore(10.0, 31.0), Bore(20.0, 8.0, flat=True)), through=False)
    assert list(_steps(deep)) == ["spot", "peck-drill", "counterbore", "chamfer"]
    assert list(_steps(Hole((Bore(10.0, 30.0),)))) == ["spot", "drill", "chamfer"]


def test_a_wider_bore_needs_no_pecking_however_deep_for_its_pilot_hole_is_there() -> None:
    # 11.5 mm wide and 60 mm deep, of 2 + 60 + 5.75 mm; the first bore, 100 mm deep, is pecked.
    steps = _steps(Hole((Bore(8.0, 100.0), Bore(12.0, 60.0, 0.018))))
    assert list(steps) == ["spot", "peck-drill", "core-drill", "ream", "chamfer"]
    assert steps["core-drill"] == pytest.approx(67.75 * 11.5 / 80 + 0.6775)


def test_a_bore_wider_than_the_table_of_drills_is_milled_out_and_bored_to_size_where_it_is_close() -> None:
    # pi / 4 x 24^2 x 10 mm3 at 60 pi mm3/s; the boring tool turns 25 times a second over 12 mm.
    wide = Bore(24.0, 10.0)
    assert _steps(Hole((wide,))) == {"spot": SPOT, "mill out": 24.0, "chamfer": round(3 / (0.2 * 400 / 24) + 0.03, 6)}
    close = _steps(Hole((replace(wide, tolerance=0.02),)))
    assert list(close) == ["spot", "mill out", "bore", "chamfer"]
    assert (close["mill out"], close["bore"]) == (24.0, round(12 / (0.05 * 25) + 0.12, 6))


def test_a_large_thread_is_named_as_milled() -> None:
    assert list(_steps(Hole((Bore(17.5, 20.0),), Thread("M20", 20.0, 2.5, 10.0))))[-1] == "thread-mill"


def test_a_cycle_is_the_sum_of_its_steps_one_tool_each() -> None:
    one = cycle(COMBINATION, ALUMINIUM, True, SHOP)
    assert one.tools == 7
    assert one.seconds == pytest.approx(sum(COMBINED.values()), abs=1e-5)
    assert one.steps.startswith("spot 0.8, drill 6.9, core-drill 4.4, ")


def test_each_tool_of_a_group_is_changed_once_visits_every_hole_and_settles_there() -> None:
    seconds, basis = group_seconds(holes(4, hole=COMBINATION), ALUMINIUM, True, SHOP)
    # Four holes in a row of 30 mm at 500 mm/s.
    assert seconds == pytest.approx(4 * sum(COMBINED.values()) + 7 * (0.06 + 4 * 0.4 + 5), abs=1e-4)
    assert basis.startswith("4 a plate: spot 0.8, ")
    assert basis.endswith(" s each; 7 tools")
