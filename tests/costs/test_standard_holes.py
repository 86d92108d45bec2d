"""The trade's standard holes for an M10 of round sizes: a locating hole of 12 mm, a bushing of 18 mm outside."""

import pytest
from msgspec.structs import replace

from tallyplate.contract import (
    Bore,
    Hole,
    Length,
    Ratio,
    Refusal,
    Size,
    Thread,
    combination_hole,
    holding_hole,
    locating_hole,
    pin_hole,
    tapped_hole,
)
from tallyplate.contract.holes import blind_depth, lifting_hole
from tests.costs.plain import shop

SHOP = shop()
SCREW = replace(
    SHOP.screws["M10"],
    major=Size(10),
    pitch=Size(1.5),
    tap_drill=Size(8.5),
    clearance=Size(11),
    counterbore=Size(19),
    counterbore_depth=Size(11),
    locating=Size(12),
    locating_tolerance=Size(0.018),
    bushing_outside=Size(18),
    bushing_tolerance=Size(0.021),
    bushing_length=Length(16, "16 mm"),
)
SHOP = replace(SHOP, screws={"M10": SCREW}, usual=replace(SHOP.usual, thread_diameters=Ratio(2)))
M10 = Thread("M10", 10.0, 1.5, 20.0)


def _cut(thread: Thread, depth: float) -> Thread:
    return replace(thread, depth=depth)


def test_a_tapped_hole_is_threaded_two_diameters_deep_or_through() -> None:
    assert tapped_hole("M10", 40.0, SHOP) == Hole((Bore(8.5, 40.0),), M10, size="M10")
    assert tapped_hole("M10", 12.0, SHOP) == Hole((Bore(8.5, 12.0),), _cut(M10, 12.0), size="M10")


def test_a_threaded_insert_is_wound_into_a_larger_thread_of_the_same_pitch() -> None:
    # Tapped holes of wire inserts for M10 x 1.5: major 11.948 mm, minor 10.324 mm (from memory).
    hole = tapped_hole("M10", 40.0, SHOP, insert=True)
    assert (hole.parts, hole.size, len(hole.bores)) == (("thread_insert",), "M10", 1)
    assert hole.bores[0].diameter == pytest.approx(10.324, abs=0.001)
    assert hole.thread is not None
    assert hole.thread.major == pytest.approx(11.948, abs=0.001)
    assert (hole.thread.designation, hole.thread.pitch, hole.thread.depth) == ("M10", 1.5, 20.0)


def test_a_combination_hole_is_close_above_and_threaded_in_what_is_left_below() -> None:
    close, bushed = Bore(12.0, 16.0, 0.018), Bore(18.0, 16.0, 0.021)
    assert combination_hole("M10", 40.0, SHOP, bushed=False) == Hole((Bore(8.5, 40.0), close), M10, size="M10")
    assert combination_hole("M10", 30.0, SHOP, bushed=True) == Hole(
        (Bore(8.5, 30.0), bushed), _cut(M10, 14.0), parts=("bushing",), size="M10"
    )
    assert combination_hole("M10", 16.0, SHOP, bushed=False).thread is None
    assert combination_hole("M10", 17.0, SHOP, bushed=False).thread == _cut(M10, 1.0)


def test_a_combination_hole_with_bushing_and_insert_gets_one_of_each() -> None:
    hole = combination_hole("M10", 40.0, SHOP, bushed=True, insert=True)
    assert hole.parts == ("bushing", "thread_insert")
    assert hole.bores[0].diameter == pytest.approx(10.324, abs=0.001)
    assert combination_hole("M10", 10.0, SHOP, bushed=True).bores[1].depth == 10.0


def test_a_locating_hole_is_close_throughout_or_bushed_above_and_no_closer_than_drilled_below() -> None:
    assert locating_hole("M10", 40.0, SHOP, bushed=False) == Hole((Bore(12.0, 40.0, 0.018),))
    assert locating_hole("M10", 40.0, SHOP, bushed=True) == Hole(
        (Bore(12.0, 40.0), Bore(18.0, 16.0, 0.021)), parts=("bushing",), size="M10"
    )
    assert locating_hole("M10", 10.0, SHOP, bushed=True).bores[1].depth == 10.0


@pytest.mark.parametrize(
    ("kind", "deep"), [("tapped", 20 + 3 * 1.5), ("combination", 16 + 20 + 3 * 1.5), ("locating", 16.0)]
)
def test_a_blind_hole_is_drilled_for_its_seat_its_thread_and_the_lead_of_the_tap(kind: str, deep: float) -> None:
    assert blind_depth(kind, "M10", SHOP) == pytest.approx(deep)


def test_a_lifting_hole_is_tapped_and_blind() -> None:
    assert lifting_hole("M10", SHOP, "/plate/lifting_screw") == Hole((Bore(8.5, 24.5),), M10, through=False, size="M10")
    with pytest.raises(Refusal, match="M11"):
        lifting_hole("M11", SHOP, "/plate/lifting_screw")


def test_a_holding_hole_clears_the_screw_and_sinks_its_head() -> None:
    assert holding_hole("M10", 40.0, SHOP) == Hole((Bore(11.0, 40.0), Bore(19.0, 11.0, flat=True)))
    assert holding_hole("M10", 8.0, SHOP).bores[1] == Bore(19.0, 8.0, flat=True)


def test_a_pressed_pin_stands_one_and_a_half_diameters_deep_and_one_that_retracts_goes_through() -> None:
    assert pin_hole("M10", 40.0, SHOP, through=False) == Hole((Bore(12.0, 18.0, 0.018),), through=False)
    assert pin_hole("M10", 15.0, SHOP, through=False) == Hole((Bore(12.0, 15.0, 0.018),), through=False)
    assert pin_hole("M10", 40.0, SHOP, through=True) == Hole((Bore(12.0, 40.0, 0.018),))
