"""A portfolio under two cards: the totals are those of the orders one by one, and no order is lost."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction
from itertools import repeat

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from tallyplate.answers import PriceAnswer
from tallyplate.contract import Fault, Refusal
from tallyplate.orders import Entry
from tallyplate.pricing import PluginFailure
from tallyplate.rates.card import RateCard
from tallyplate.rates.walk import changed
from tallyplate.tradeoffs.comparison import by_module, compare
from tallyplate.tradeoffs.impact import MOVING_MOST, Impact, OrderImpact, OrderRefused, Pricing, compared, impact
from tests.plates import MINIMAL, request
from tests.strategies import CARD, requests
from tests.tradeoffs.cards import IN_ORDER, PATHS, card, cards, priced, total, under

UNREADABLE = Entry(0, faults=(Fault("", "is not JSON"),))
BAD: tuple[object, ...] = ({}, 7, {"plate": {**MINIMAL["plate"], "material": "cheese"}})


def _entries(orders: Sequence[object]) -> list[Entry]:
    return [order if isinstance(order, Entry) else Entry(line, order) for line, order in enumerate(orders, start=1)]


def _impact(orders: Sequence[object], new: RateCard | Pricing, old: RateCard | Pricing = CARD) -> Impact:
    a, b = (under(one) if isinstance(one, RateCard) else one for one in (old, new))
    return impact(compared(_entries(orders), a, b), "USD", IN_ORDER)


@settings(max_examples=25)
@given(st.lists(requests() | st.sampled_from((*BAD, UNREADABLE)), max_size=6), cards(), cards())
def test_totals_are_the_sums_of_the_single_comparisons_and_no_order_is_lost(
    orders: list[object], old: RateCard, new: RateCard
) -> None:
    single, refused = [], 0
    for order in orders:
        try:
            single += [] if order is UNREADABLE else [compare(priced(order, old), priced(order, new))]
            refused += order is UNREADABLE
        except Refusal:
            refused += 1
    found = _impact(orders, new, old)
    assert (found.orders, found.priced, len(found.refused)) == (len(orders), len(single), refused)
    for name in ("a", "b", "difference"):
        assert Decimal(getattr(found, name)) == sum((Decimal(getattr(one, name)) for one in single), Decimal())
        assert Decimal(getattr(found, name)) == sum((Decimal(getattr(one, name)) for one in found.modules), Decimal())
    summed = {one.module: one for one in by_module(module for one in single for module in one.modules)}
    assert {one.module: one for one in found.modules} == summed


UNUSED = [path for path in PATHS if "steel" in path or "retractable" in path or path == "work_centers.grinder"]


@pytest.mark.parametrize("figure", UNUSED)
def test_raising_a_rate_that_no_line_uses_moves_nothing(figure: str) -> None:
    found = _impact([MINIMAL, request()], changed(CARD, figure, Fraction(2)))
    assert Decimal(found.difference) == 0
    assert {one.difference for one in found.modules} == {"0.00"}
    assert found.percent == "0.00"
    assert not any(Decimal(line.difference) for one in found.moving_most for line in one.comparison.lines)


def test_an_order_is_refused_under_the_card_that_cannot_price_it_with_every_reason() -> None:
    def fails(_: object) -> PriceAnswer:
        raise PluginFailure("stock", "KeyError: 'steel-4140'")

    two_faults = request({"/quantity": 0, "/plate/material": 7})
    found = _impact([MINIMAL, two_faults], fails)
    assert found.refused == (
        OrderRefused(1, "b", (Fault("", "cost module 'stock' failed: KeyError: 'steel-4140'"),)),
        OrderRefused(2, "a", found.refused[1].reasons),
    )
    assert [fault.pointer for fault in found.refused[1].reasons] == ["/quantity", "/plate/material"]
    assert (found.orders, found.priced, found.a, found.modules, found.moving_most) == (2, 0, "0", (), ())


def test_an_order_that_could_not_be_read_is_refused_by_its_line() -> None:
    found = _impact([Entry(17, faults=UNREADABLE.faults), Entry(19, MINIMAL)], CARD)
    assert found.refused == (OrderRefused(17, "", UNREADABLE.faults),)
    assert [one.order for one in found.moving_most] == [19]


def test_the_orders_that_move_most_are_named_the_earlier_first_of_equals() -> None:
    orders = [request({"/quantity": quantity}) for quantity in (3, 1, 12, 1, 5, 2, 9, 7, 30, 4, 1, 8)]
    found = _impact(orders, card(work_centers__mill=Fraction(9, 10)))
    moves = [abs(total(order, card(work_centers__mill=Fraction(9, 10))) - total(order)) for order in orders]
    expected = sorted(range(len(orders)), key=lambda place: (-moves[place], place))[:MOVING_MOST]
    assert [one.order - 1 for one in found.moving_most] == expected
    assert MOVING_MOST == 10
    for one in found.moving_most:
        assert abs(Decimal(one.comparison.difference)) == moves[one.order - 1]


def test_modules_stand_in_the_engines_order_also_where_the_first_order_has_few() -> None:
    found = _impact([request({"/plate/finish": "plain"}), request()], CARD)
    modules = [one.module for one in found.modules]
    assert "finishing" in modules
    assert modules == [name for name in IN_ORDER if name in modules]


def test_a_portfolio_of_no_orders_comes_to_nothing() -> None:
    found = _impact([], CARD)
    assert (found.orders, found.a, found.b, found.difference, found.percent) == (0, "0", "0", "0", "")
    assert found.currency == "USD"


def test_orders_are_taken_one_at_a_time_and_only_the_greatest_are_kept() -> None:
    alive = 0

    def stream() -> Iterator[Entry]:
        nonlocal alive
        for line, order in enumerate(repeat(MINIMAL, 40), start=1):
            alive = line
            yield Entry(line, order)

    taken = []
    for outcome in compared(stream(), under(CARD), under(CARD)):
        taken.append(outcome)
        assert alive == len(taken)
    assert all(isinstance(one, OrderImpact) for one in taken)
    assert len(impact(taken, "USD", IN_ORDER).moving_most) == MOVING_MOST


def test_prices_in_two_currencies_are_no_portfolio() -> None:
    with pytest.raises(Refusal, match="accepted: one currency"):
        _impact([MINIMAL], _in_euro)


def _in_euro(asked: object) -> PriceAnswer:
    return replace(priced(asked), currency="EUR")
