"""Features against published figures: bolt circles, and the rate at which an end mill removes metal."""

from math import cos, pi, radians, sin
from typing import Any

import pytest
from msgspec.structs import replace

from tallyplate.contract import EndMill, Length, Milled, MillimetresPerSecond, Outline, Percentage, ShopData, Size
from tallyplate_plugins.costs.features import Figures, finishing, roughing, table_feed
from tests.families.test_features import BARE, CIRCLE
from tests.plates import built


def _circle(**asked: Any) -> list[tuple[float, float]]:
    """The places of a bolt circle about the middle of its plate, measured from there."""
    (group,) = [one for one in built({**BARE, "/plate/features": [CIRCLE | asked]}).holes if one.placed]
    return [(x - 350, y - 225) for x, y in group.layout.positions()]


def test_six_holes_lie_at_the_half_and_0_86603_of_the_radius() -> None:
    # The multipliers of a six-hole circle (verified: J. A. Nilsson, Bolt Circle Coordinate Calculations).
    half, rest = 0.5 * 100, 0.86603 * 100
    known = [(100, 0), (half, rest), (-half, rest), (-100, 0), (-half, -rest), (half, -rest)]
    for spot, place in zip(_circle(circle="200 mm", count=6), known, strict=True):
        assert spot == pytest.approx(place, abs=0.001)


def test_twelve_holes_that_straddle_the_centre_lines_of_an_8_inch_circle() -> None:
    # First hole 15 deg off a centre line, 4 sin 15 and 4 cos 15 inches out (verified: a machinists' forum, 2008).
    first, second, *_ = _circle(circle="8 in", count=12, start_angle=15)
    assert first == pytest.approx((25.4 * 4 * cos(radians(15)), 25.4 * 4 * sin(radians(15))))
    assert second == pytest.approx((25.4 * 4 * cos(radians(45)), 25.4 * 4 * sin(radians(45))))


def test_roughing_and_finishing_times_follow_the_published_formulas(shop: ShopData) -> None:
    """N = 1000 vc / (pi D), vf = fz n z, Q = ap ae vf / 1000 (verified: Dijet, General Catalogue 2018, p. 551)."""
    diameter, vc, fz, teeth, ap, ae = 16.0, 80.0, 0.1, 4, 8.0, 6.4
    n = 1000 * vc / (pi * diameter)
    vf = fz * n * teeth
    q = ap * ae * vf / 1000  # cm3/min
    steel = shop.materials["steel-1018"]
    speeds = replace(steel.speeds, milling=MillimetresPerSecond(vc * 1000 / 60), removal=1e9)
    example = replace(shop, materials={"steel-1018": replace(steel, speeds=speeds)})
    mill = EndMill(Length(diameter, "16 mm"), Length(60, "60 mm"), teeth, Size(fz))
    own = replace(shop.figures(Figures), step_down=Percentage(ap / diameter), step_over=Percentage(ae / diameter))
    # A round pocket of 100 mm, 24 mm deep: 188.5 cm3, and three passes around.
    pocket = Milled("pocket", Outline(((200.0, 200.0),), 50.0), 24.0, 50.0)
    assert table_feed(mill, "steel-1018", example) * 60 == pytest.approx(vf)
    assert roughing(pocket, mill, own, "steel-1018", example) / 60 == pytest.approx(pi * 5**2 * 2.4 / q)
    assert finishing(pocket, mill, own, "steel-1018", example) / 60 == pytest.approx(3 * pi * 100 / vf)
