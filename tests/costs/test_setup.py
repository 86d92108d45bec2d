"""Programming and setting up once an order, loading each plate, with a hoist where one person may not lift it."""

import pytest
from msgspec.structs import replace

from tallyplate.contract import Kilograms, Recess, Seconds
from tallyplate_plugins.costs.setup import MODULE, Figures
from tests.costs.plain import BUILD, holes, said, seconds, shop

SHOP = shop(
    Figures(
        programming=Seconds(1_800),
        programming_kind=Seconds(300),
        clamping=Seconds(900),
        loading=Seconds(120),
        hoisting=Seconds(200),
        indexing=Seconds(30),
    )
)
SEAT = Recess("key_seat", 50.0, 20.0, 6.0, 2)
MASS = SHOP.mass(BUILD.body)


@pytest.mark.parametrize(
    ("lift", "each"),
    [
        (5.0, 120),  # 1 200 000 mm3 at 2700 kg/m3 are 3.24 kg
        (3.0, 320),
        (MASS, 120),  # just as heavy as one person may lift
    ],
)
def test_an_order_is_programmed_and_set_up_once_and_each_plate_loaded_at_each_clamping(lift: float, each: int) -> None:
    able = replace(SHOP, limits=replace(SHOP.limits, one_person_lift=Kilograms(lift)))
    build = replace(BUILD, holes=(holes(3), holes(2)), recesses=(SEAT,), setups=2)
    assert seconds(said(MODULE, build, able)) == [
        ("programming", "programming", 0, 1_800 + 3 * 300),
        ("setting up", "mill", 0, 2 * 900),
        ("loading plates", "mill", 2 * each, 0),
    ]


def test_like_plates_of_a_set_are_set_up_once() -> None:
    assert [charge.common for charge in said(MODULE, BUILD, SHOP)] == [False, True, False]


def test_a_shop_that_does_not_say_how_long_turning_takes_takes_no_time_for_it() -> None:
    silent = shop(replace(SHOP.figures(Figures), indexing=None))
    assert seconds(said(MODULE, replace(BUILD, indexes=3), silent))[-1] == ("indexing", "mill", 0, 0)


@pytest.mark.parametrize(("indexes", "seconds_a_plate"), [(0, None), (1, 30), (3, 90)])
def test_a_block_is_turned_to_each_of_its_faces(indexes: int, seconds_a_plate: int | None) -> None:
    turned = [line for line in seconds(said(MODULE, replace(BUILD, indexes=indexes), SHOP)) if line[0] == "indexing"]
    assert turned == ([("indexing", "mill", seconds_a_plate, 0)] if seconds_a_plate else [])


def test_a_plate_of_this_body_weighs_three_and_a_quarter_kilograms() -> None:
    assert pytest.approx(3.24) == MASS
