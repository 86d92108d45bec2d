"""Rework: picking a plate up by its old holes, and pressing out and reaming for each bushing that is replaced."""

import pytest
from msgspec.structs import replace

from tallyplate.contract import Hardware, Refusal, Seconds
from tallyplate_plugins.costs import squaring
from tallyplate_plugins.costs.reworking import MODULE, Figures
from tests.costs.plain import BUILD, said, seconds, shop
from tests.plates import installation

SHOP = shop(Figures(pick_up=Seconds(900), press_out=Seconds(50), ream=Seconds(20)))
OLD = replace(BUILD, blank=replace(BUILD.blank, existing=True))


def test_a_plate_is_picked_up_at_each_clamping() -> None:
    # The plain plate is clamped twice.
    assert seconds(said(MODULE, OLD, SHOP)) == [("picking up the old holes", "mill", 1800, 0)]


def test_bushings_are_pressed_out_and_their_seats_reamed_one_by_one() -> None:
    worn = replace(OLD, replaced=(Hardware("bushing", "M12", 8), Hardware("bushing", "M16", 3)))
    assert seconds(said(MODULE, worn, SHOP))[1:] == [
        ("pressing out bushings M12", "bench", 400, 0),
        ("reaming seats of bushings M12", "mill", 160, 0),
        ("pressing out bushings M16", "bench", 150, 0),
        ("reaming seats of bushings M16", "mill", 60, 0),
    ]


def test_new_bushings_of_a_size_are_counted_with_those_of_new_holes() -> None:
    worn = replace(OLD, replaced=(Hardware("bushing", "M12", 8), Hardware("bushing", "M12", 3)))
    assert worn.fitted() == (Hardware("bushing", "M12", 11),)


def test_a_new_plate_is_no_rework_and_an_old_one_is_squared_no_more() -> None:
    assert said(MODULE, BUILD, shop()) == []
    assert said(squaring.MODULE, OLD, installation().shops[-1]) == []


def test_shop_data_without_its_times_refuse_it() -> None:
    with pytest.raises(Refusal, match="is not on offer") as refused:
        said(MODULE, OLD, shop())
    assert [fault.pointer for fault in refused.value.faults] == ["/plate/family"]
