"""The engine's arithmetic: plates and orders, whole lots, price lists, the bounds of a quantity, shares and days."""

from datetime import date
from math import inf, nan
from typing import Any

import pytest
from msgspec.structs import replace

from tallyplate.contract import (
    Break,
    Charge,
    CostModule,
    Days,
    Order,
    Percentage,
    PerKilogram,
    PerPiece,
    PriceBreaks,
    Share,
    Stage,
    work,
)
from tallyplate.contract.figures import HoursPerDay
from tallyplate.contract.sections import WorkCenter
from tallyplate.money import count, text
from tallyplate.pricing import Modules, PluginFailure, Priced, hours, lead_days, price, unit_price
from tests.costs.plain import BUILD, shop
from tests.plates import installation

CARD = installation().cards[0]
SHOP = shop()
PIECE = PerPiece(100, 2)


def _module(*charges: Charge) -> CostModule:
    return CostModule(contract=1, stage=Stage.MAKE, charges=lambda *_: charges)


def _priced(*charges: Charge, quantity: int = 1) -> Priced:
    return price(BUILD, Order(quantity, date(2026, 6, 1)), SHOP, CARD, Modules.of({"paint": _module(*charges)}))


@pytest.mark.parametrize(("plates", "crates"), [(1, 1), (9, 1), (10, 1), (11, 2), (20, 2), (21, 3), (30, 3)])
def test_an_order_takes_whole_lots_of_what_its_plates_share(plates: int, crates: int) -> None:
    charges = (Charge("crates", 0.1, PIECE, lot=1), Charge("closing", 0.1, work_center="mill", lot=0.25))
    bought, closed = _priced(*charges, quantity=plates).lines
    assert (bought.quantity, bought.amount) == (crates, crates * 100)
    # A quarter of an hour a crate, at 96.00 an hour.
    assert (closed.quantity, closed.amount) == (crates * 2_500, crates * 2_400)


def test_binary_fractions_take_no_lot_more() -> None:
    # A hundred times 0.07 as binary fractions is a little more than 7.
    (line,) = _priced(Charge("crates", 0.07, PIECE, lot=1), quantity=100).lines
    assert 100 * 0.07 > 7
    assert line.quantity == 7


@pytest.mark.parametrize(("printed", "decimals", "counted"), [("1234.56", 2, 123_456), ("7", 0, 7), ("0.050", 3, 50)])
def test_an_amount_as_printed_is_read_back_as_it_was_counted(printed: str, decimals: int, counted: int) -> None:
    assert (count(printed, decimals), text(counted, decimals)) == (counted, printed)


def test_what_an_order_takes_once_is_added_to_what_each_plate_takes() -> None:
    (line,) = _priced(work("milling", 3600, "mill", once=1800), quantity=3).lines
    assert (line.quantity, line.amount) == (35_000, 33_600)


def test_each_piece_costs_what_its_place_in_a_price_list_says() -> None:
    listed = PriceBreaks((Break(1, PerPiece(900, 2)), Break(10, PerPiece(800, 2)), Break(100, PerPiece(7, 0))))
    order = _priced(Charge("bushings", 6, listed, basis="6 a plate"), quantity=20)
    assert [(line.quantity, line.amount, line.of.basis) for line in order.lines] == [
        (9, 8_100, "6 a plate; pieces 1 to 9"),
        (90, 72_000, "6 a plate; pieces 10 to 99"),
        (21, 14_700, "6 a plate; pieces 100 to 120"),
    ]
    for short in (listed, PriceBreaks(listed.breaks[:1])):
        (few,) = _priced(Charge("bushings", 6, short, basis="6 a plate")).lines
        assert (few.quantity, few.amount, few.of.basis) == (6, 5_400, "6 a plate")
    assert {(line.of.module, line.of.item, line.of.unit, line.of.decimals) for line in order.lines} == {
        ("paint", "bushings", "piece", 0)
    }


@pytest.mark.parametrize("quantity", [-1e-9, -1.0, nan, inf, 1e12])
@pytest.mark.parametrize("field", ["per_plate", "per_order", "lot"])
def test_a_quantity_that_no_plate_has_fails_its_module_by_name(field: str, quantity: float) -> None:
    charge = replace(Charge("coat", 1, PIECE), **{field: quantity})
    with pytest.raises(PluginFailure, match="accepted: finite and at least 0") as failure:
        _priced(charge)
    assert (failure.value.kind, failure.value.module) == ("cost module", "paint")


def test_a_share_may_be_taken_of_larger_sums_than_any_quantity() -> None:
    most = 10**15 - 1
    (line,) = _priced(Charge("fee", 0, Share(1, 2), per_order=most)).lines
    assert (line.quantity, line.amount) == (most, 10**13)
    with pytest.raises(PluginFailure):
        _priced(Charge("fee", 0, Share(1, 2), per_order=10**15))


def test_nothing_costs_nothing_and_keeps_its_line() -> None:
    (line,) = _priced(Charge("coat", 0, PIECE)).lines
    assert (line.quantity, line.amount) == (0, 0)


def test_the_most_that_is_taken_is_just_below_the_bound() -> None:
    (line,) = _priced(Charge("coat", 1e12 - 1, PIECE)).lines
    assert line.amount == 100 * (10**12 - 1)


@pytest.mark.parametrize(
    ("charge", "reason"),
    [
        (Charge("coat", 1), "neither a rate nor a work centre"),
        (Charge("coat", 1, work_center="forge"), "neither a rate nor a work centre"),
        (Charge("coat", 1, work_center="saw"), "which the shop has not"),
    ],
)
def test_a_charge_without_a_rate_or_to_a_stranger_fails_its_module(charge: Charge, reason: str) -> None:
    without_saw = replace(SHOP, work_centers={"mill": SHOP.work_centers["mill"]})
    with pytest.raises(PluginFailure, match=reason):
        price(BUILD, Order(1, date(2026, 6, 1)), without_saw, CARD, Modules.of({"paint": _module(charge)}))


def test_a_module_is_asked_afresh_for_each_blank_and_order_only_if_it_reads_them() -> None:
    asked: list[tuple[str, float, int]] = []

    def asking(name: str, *, reads_blank: bool, reads_order: bool) -> CostModule:
        def charges(build: Any, order: Order, *_: Any) -> list[Charge]:
            asked.append((name, build.blank.thickness, order.quantity))
            return [Charge(name, build.blank.thickness, PIECE)]

        return CostModule(
            contract=1, stage=Stage.MAKE, charges=charges, reads_blank=reads_blank, reads_order=reads_order
        )

    modules = {
        "neither": asking("neither", reads_blank=False, reads_order=False),
        "order": asking("order", reads_blank=False, reads_order=True),
        "blank": asking("blank", reads_blank=True, reads_order=False),
    }
    two = replace(BUILD, other_blanks=(replace(BUILD.blank, thickness=24.0),))
    order = price(two, Order(3, date(2026, 6, 1)), SHOP, CARD, Modules.of(modules))
    assert (order.build.blank.thickness, order.build.other_blanks) == (24.0, ())
    # What no blank changes is said once, of the first one.
    assert [line.quantity for line in order.lines] == [3 * 24, 3 * 25, 3 * 25]
    assert sorted(asked) == [("blank", 24.0, 1), ("blank", 25.0, 1), ("neither", 25.0, 1), ("order", 25.0, 3)]


def test_time_is_summed_by_work_centre_and_what_is_bought_is_none() -> None:
    metal, milling = Charge("metal", 2, PerKilogram(5, 2)), work("milling", 3600, "mill")
    order = _priced(milling, metal, work("more of it", 1800, "mill"), work("sawing", 36, "saw"))
    assert hours(order.lines) == {"mill": 15_000, "saw": 100}


@pytest.mark.parametrize(
    ("total", "quantity", "each"), [(100, 3, 33), (101, 3, 34), (101, 2, 51), (99, 100, 1), (49, 100, 0), (700, 1, 700)]
)
def test_a_unit_price_is_the_total_divided_and_rounded_half_up(total: int, quantity: int, each: int) -> None:
    assert unit_price(total, quantity) == each


@pytest.mark.parametrize(
    ("worked", "days"),
    [
        ({}, 5),  # 2 for stock and 3 for the finish
        ({"mill": 80_000}, 7),  # 1 in the queue and 8 h at 8 h a day
        ({"mill": 80_001}, 8),
        ({"mill": 40_000, "saw": 20_000}, 9),  # 1 and a half, 2 and a half
    ],
)
def test_lead_time_is_stock_queues_work_and_finish_in_turn_in_days_begun(worked: dict[str, int], days: int) -> None:
    centers = {"mill": WorkCenter(HoursPerDay(8), Days(1)), "saw": WorkCenter(HoursPerDay(4), Days(2))}
    limits = replace(SHOP.limits, stock_days=Days(2))
    finishes = {"plain": replace(SHOP.finishes["plain"], days=Days(3))}
    assert lead_days(worked, "plain", replace(SHOP, work_centers=centers, limits=limits, finishes=finishes)) == days


@pytest.mark.parametrize(
    ("worked", "hurried", "in_turn"),
    [
        (4, 8, 11),  # 6 besides; half a day's work, at a quarter of each day 2 days, in turn behind 4
        (8, 10, 11),
        (16, 12, 12),  # 8 days at a quarter of each day, 6 in turn
    ],
)
def test_a_rush_waits_in_no_queue_and_has_its_share_of_the_day_unless_its_turn_comes_sooner(
    worked: int, hurried: int, in_turn: int
) -> None:
    centers = {"mill": WorkCenter(HoursPerDay(8), Days(4))}
    limits = replace(SHOP.limits, stock_days=Days(2), rush=Percentage(0.25))
    finishes = {"plain": replace(SHOP.finishes["plain"], days=Days(3))}
    hurrying = replace(SHOP, work_centers=centers, limits=limits, finishes=finishes)
    hours_worked = {"mill": worked * 10_000}
    assert lead_days(hours_worked, "plain", hurrying, 1.0) == in_turn
    assert lead_days(hours_worked, "plain", hurrying, 1.0, rush=True) == hurried
