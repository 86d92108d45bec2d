"""The holes of the pattern: one charge a kind, bored for position where the tolerance asks for it."""

import pytest
from msgspec.structs import replace

from tallyplate.contract import Bore, Hole, HoleGroup, Length, Thread
from tallyplate_plugins.costs.holes import MODULE
from tests.costs.plain import BUILD, holes, said, shop

SHOP = shop()
SHOP = replace(SHOP, cutting=replace(SHOP.cutting, bore_below=Length(0.03, "0.03 mm")))
REAMED = Hole((Bore(16.0, 20.0, 0.018),))


def test_each_kind_of_the_pattern_is_one_charge_to_the_mill_and_mounting_holes_are_none() -> None:
    groups = (holes(3), holes(2, kind="holding", mounting=True), holes(4, kind="locating", hole=REAMED))
    charged = said(MODULE, replace(BUILD, holes=groups), SHOP)
    assert [(one.item, one.work_center) for one in charged] == [("tapped holes", "mill"), ("locating holes", "mill")]
    assert [one.basis.split(":")[0] for one in charged] == ["3 a plate", "4 a plate"]


@pytest.mark.parametrize(("tolerance", "bored"), [(0.03, False), (0.029, True)])
def test_holes_are_bored_below_a_position_tolerance_and_not_at_it(tolerance: float, bored: bool) -> None:
    group = holes(4, kind="locating", hole=REAMED)
    (charge,) = said(MODULE, replace(BUILD, holes=(group,), position_tolerance=tolerance), SHOP)
    assert ("bore " in charge.basis) == bored


THREADED = Hole((Bore(8.5, 20.0),), Thread("M10", 10.0, 1.5, 20.0))


@pytest.mark.parametrize(
    ("group", "title"),
    [
        (holes(3, hole=THREADED), "tapped holes"),
        (replace(holes(3), face="front", zone=2), "tapped holes, front, zone 2"),
        (replace(holes(1, hole=THREADED), placed=True), "tapped hole M10"),
        (replace(holes(3, hole=THREADED), placed=True), "3 tapped holes M10"),
        (replace(holes(1, kind="bore"), placed=True), "bore \u00d810 mm"),
        (replace(holes(2, kind="bore"), placed=True), "2 bores \u00d810 mm"),
    ],
)
def test_holes_are_named_for_their_place_and_those_that_a_customer_placed_for_number_and_size(
    group: HoleGroup, title: str
) -> None:
    (charge,) = said(MODULE, replace(BUILD, holes=(group,)), SHOP)
    assert charge.item == title
