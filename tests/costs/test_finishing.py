"""Finish by area, hole walls counted and mouths left in, with the finisher's minimum."""

from math import pi

import pytest
from msgspec.structs import replace

from tallyplate.contract import Milled, Outline, PerSquareMetre, Sum
from tallyplate_plugins.costs.finishing import MODULE, Lot, Rates
from tests.costs.plain import BUILD, holes, said, shop

SHOP = shop()
LOT = Lot(PerSquareMetre(6200, 2), Sum(14_000))
RATES = Rates(finish={"anodized": LOT}, as_machined=("plain",))


def test_a_finish_is_charged_by_outer_surface_and_hole_walls_with_a_minimum() -> None:
    build = replace(BUILD, finish="anodized", holes=(holes(3), holes(2)))
    (charge,) = said(MODULE, build, SHOP, RATES)
    # 140 000 mm2 outside, and five walls of pi x 10 x 20 mm.
    assert charge.per_plate == pytest.approx((140_000 + 1_000 * pi) / 1e6, rel=1e-9)
    assert (charge.item, charge.rate, charge.at_least) == (SHOP.finishes["anodized"].title, LOT.area, LOT.minimum)
    assert (charge.per_order, charge.lot) == (0, 0)


def test_walls_of_features_are_finished_too() -> None:
    slot = Milled("slot", Outline(((100.0, 100.0), (150.0, 100.0)), 5.0), 20.0, 5.0, through=True)
    (charge,) = said(MODULE, replace(BUILD, finish="anodized", milled=(slot, slot)), SHOP, RATES)
    # Twice 20 mm of height around two sides of 50 mm and a circle of 10 mm.
    assert charge.per_plate == pytest.approx((140_000 + 2 * 20 * (100 + 10 * pi)) / 1e6, rel=1e-9)


def test_a_plate_as_machined_has_no_finish_to_pay() -> None:
    assert said(MODULE, BUILD, SHOP, RATES) == []


def test_a_gap_is_a_finish_that_neither_has_a_price_nor_is_as_machined() -> None:
    assert MODULE.gaps is not None
    offered = replace(SHOP, finishes=dict.fromkeys(("plain", "anodized", "gilded"), SHOP.finishes["plain"]))
    assert list(MODULE.gaps(RATES, offered)) == ["finish.gilded"]
