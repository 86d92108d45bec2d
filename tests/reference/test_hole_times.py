"""Hole times against published worked examples, worked by the product's own operations.

Makers' pages charge the hole's depth alone; Groover's formulas add the drill's point, and a blind hole's allowance.
The product adds the point, so examples without one are worked with a flat drill.
"""

from math import pi

import pytest

from tallyplate.contract import Bore, ShopData, Thread
from tallyplate_plugins.machining import drill_point, spindle
from tests.reference.shops import INCH, shop_of, tools


def test_five_holes_at_a_given_spindle_speed(shop: ShopData) -> None:
    # 5 holes 30 mm deep, n 1350 /min, f 0.2 mm: vf 270 mm/min, 33.3 s (verified: Mitsubishi Materials training page,
    # drilling formulas). Without a drill point.
    at_work = tools(shop_of(shop, spindle=1350 / 60, feed=0.2))
    one = at_work.drill(Bore(10.0, 30.0), through=False)
    assert 30 / one * 60 == pytest.approx(270)
    assert 5 * one == pytest.approx(33.3, abs=0.05)


def test_a_hole_at_a_given_cutting_speed(shop: ShopData) -> None:
    # D 15 mm, 30 mm deep, vc 50 m/min, f 0.15 mm: 11.3 s (verified: lzqtool.com hole machining formulas). Without a
    # drill point.
    at_work = tools(shop_of(shop, drilling=50_000 / 60, feed=0.15))
    assert at_work.drill(Bore(15.0, 30.0), through=False) == pytest.approx(11.3, abs=0.05)


def test_a_hole_of_a_measuring_makers_page(shop: ShopData) -> None:
    # 35 mm deep, n 1500 /min, f 0.1 mm: about 14 s; and D 10 mm turns so at 47.1 m/min (verified: Keyence, drilling
    # formulas). Without a drill point.
    at_work = tools(shop_of(shop, spindle=1500 / 60, feed=0.1))
    assert at_work.drill(Bore(10.0, 35.0), through=False) == pytest.approx(14, abs=0.05)
    assert spindle(47_100 / 60, 10.0, 1e6) * 60 == pytest.approx(1500, abs=1.5)


def test_a_blind_hole_with_the_drills_point(shop: ShopData) -> None:
    # D 10 mm, 60 mm deep, point 118 deg, vc 30 m/min, f 0.25 mm: N 954.9 /min, A 3.0 mm, 0.265 min (verified: a solved
    # exercise on Groover's formulas, petfoodhonesty.com/responto/22238091; its steps are rounded). With a drill point.
    at_work = tools(shop_of(shop, drilling=30_000 / 60, feed=0.25, point_angle=118))
    assert spindle(30_000 / 60, 10.0, 1e6) * 60 == pytest.approx(954.9, abs=0.05)
    assert drill_point(10.0, 118) == pytest.approx(3.0, abs=0.01)
    minutes = at_work.drill(Bore(10.0, 60.0), through=False) / 60
    assert minutes == pytest.approx(0.265, abs=0.0015)
    removed = pi / 4 * 10.0**2 * (60 + drill_point(10.0, 118)) / minutes
    assert removed == pytest.approx(18_692, abs=70), "mm3/min, as the exercise prints"


def test_tapping_in_and_out_at_a_pitch_a_turn(shop: ShopData) -> None:
    # 3/4-10, 1 in deep at 50 ft/min: 255 /min and 25.5 in/min (verified: eisc.com tapping formulas); in and out again
    # 4.706 s (derived).
    at_work = tools(shop_of(shop, tapping=50 * 12 * INCH / 60))
    seconds = at_work.thread(Thread("3/4-10", 0.75 * INCH, 0.1 * INCH, 1.0 * INCH))
    assert seconds == pytest.approx(4.706, abs=0.01)
    assert 2 / seconds * 60 == pytest.approx(25.5, abs=0.05)


def test_a_taps_feed_from_its_spindle_speed(shop: ShopData) -> None:
    # M8 x 1.25 at 600 /min: 750 mm/min (verified: midnightcoderlab.com tapping article).
    at_work = tools(shop_of(shop, spindle=600 / 60))
    seconds = at_work.thread(Thread("M8", 8.0, 1.25, 16.0))
    assert 2 * 16 / seconds * 60 == pytest.approx(750)


def test_a_drill_of_another_makers_page_turns_as_its_cutting_speed_says() -> None:
    # D 12 mm at 1350 /min cuts at 50.9 m/min (verified: lzqtool.com).
    assert spindle(50_900 / 60, 12.0, 1e6) * 60 == pytest.approx(1350, abs=1.5)
