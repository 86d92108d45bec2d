"""A textbook's grid plate from end to end: 100 holes through an aluminium plate, priced as hours on the mill.

Groover, Fundamentals of Modern Manufacturing, exercise on drilling a 10 x 10 grid of 3/4 in holes through 1.75 in at a
pitch of 1.5 in: 300 ft/min, 0.015 in a turn, point 100 deg, 0.5 in of clearance that is fed, out at twice the feed,
15 in/min from hole to hole. The statement was seen twice (verified); 26.686 min is derived from its inputs; the
solution manual's 26.7 min is from memory.
"""

from datetime import date

import pytest

from tallyplate.contract import (
    Blank,
    Body,
    Bore,
    Build,
    Hole,
    HoleGroup,
    Lattice,
    Order,
    ShopData,
    Table,
)
from tallyplate.pricing import Modules, hours, price
from tallyplate.rates.card import RateCard
from tallyplate_plugins.costs.holes import MODULE as HOLES
from tallyplate_plugins.machining import drill_point
from tests.reference.shops import INCH, shop_of, tools

SIDE, THICKNESS, PITCH, DIAMETER = 15 * INCH, 1.75 * INCH, 1.5 * INCH, 0.75 * INCH

# N = 300 x 12 / (pi x 0.75) = 1527.887 /min and f_r = N x 0.015 = 22.918 in/min (derived); out at twice that.
FEED_SPEED = 22.918312


@pytest.fixture
def exercise(shop: ShopData) -> ShopData:
    return shop_of(
        shop,
        drilling=300 * 12 * INCH / 60,
        feed=0.015 * INCH,
        point_angle=100,
        approach=0.5 * INCH,
        traverse=15 * INCH / 60,
        retract=2 * FEED_SPEED * INCH / 60,
    )


@pytest.fixture
def plate() -> Build:
    hole = Hole((Bore(DIAMETER, THICKNESS),))
    return Build(
        body=Body("al-6061-t6", SIDE, SIDE, THICKNESS, SIDE**2, 4 * SIDE, SIDE**2 * THICKNESS, 0.0),
        blank=Blank("plate", SIDE, SIDE, THICKNESS),
        holes=(HoleGroup("plain", hole, Lattice(PITCH / 2, PITCH / 2, PITCH, PITCH, 10, 10)),),
        hardware=(),
        marks=(),
        recesses=(),
        table=Table("none"),
        finish="plain",
        position_tolerance=0.1,
        flatness=0.1,
        setups=1,
    )


def mill_hours(plate: Build, quantity: int, exercise: ShopData, card: RateCard) -> float:
    order = Order(quantity, date(2026, 6, 1))
    return hours(price(plate, order, exercise, card, Modules.of({"holes": HOLES})).lines)["mill"] / 10_000


def test_the_mills_hours_are_the_exercises(plate: Build, exercise: ShopData, card: RateCard) -> None:
    minutes = 60 * mill_hours(plate, 1, exercise, card)
    assert minutes == pytest.approx(26.686, abs=0.003), "a line states hours to 0.0001 h, half of which is 0.003 min"
    assert minutes == pytest.approx(26.7, abs=0.05)


def test_a_thousand_such_plates_take_a_thousand_times_as_long(plate: Build, exercise: ShopData, card: RateCard) -> None:
    assert 60 * mill_hours(plate, 1000, exercise, card) / 1000 == pytest.approx(26.685676, abs=0.00001)


def test_one_hole_and_its_point_are_the_exercises(exercise: ShopData) -> None:
    # A = 0.315 in; in at the feed 0.112 min, out at twice the feed half as long (derived).
    assert drill_point(DIAMETER, 100) / INCH == pytest.approx(0.315, abs=0.0005)
    minutes = tools(exercise).drill(Bore(DIAMETER, THICKNESS), through=True) / 60
    assert minutes == pytest.approx(1.5 * 0.111905, abs=0.0002)


def test_the_way_over_the_grid_is_ninety_nine_pitches(plate: Build) -> None:
    assert plate.holes[0].layout.path / INCH == pytest.approx(99 * 1.5)
