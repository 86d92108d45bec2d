"""Orders that another card moves, told together: what they come to is what they come to one by one."""

from functools import partial
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tallyplate import many, moving
from tallyplate.contract import Fault
from tallyplate.moving import compared_together
from tallyplate.orders import Entry
from tallyplate.rates.card import RateCard
from tallyplate.tradeoffs.impact import Impact, OrderImpact, OrderRefused, Summed, compared, impact, in_full
from tests.laws.test_many import TODAY, alike, catalogue
from tests.plates import MINIMAL, installation, request
from tests.strategies import CARD, requests
from tests.tradeoffs.cards import IN_ORDER, card, cards

BAD: tuple[Any, ...] = ({}, 7, request({"/plate/material": "cheese"}))


def _under(of: RateCard) -> Any:
    return partial(installation().price_under, card=of, today=TODAY)


def _both(entries: list[Entry], new: RateCard) -> tuple[Impact, Impact, list[OrderImpact | OrderRefused]]:
    outcomes = list(compared_together(entries, installation(), CARD, new, TODAY))
    told = partial(in_full, a=_under(CARD), b=_under(new))
    one_by_one = impact(compared(entries, _under(CARD), _under(new)), "USD", IN_ORDER)
    return impact(outcomes, "USD", IN_ORDER, told), one_by_one, outcomes


def _numbered(orders: list[Any]) -> list[Entry]:
    unreadable = Entry(3, faults=(Fault("", "is not JSON"),))
    return [unreadable if line == 3 else Entry(line, order) for line, order in enumerate(orders, start=1)]


@settings(max_examples=10)
@given(requests(), cards(), st.integers(0, 5))
def test_a_portfolio_comes_to_the_same(one: dict[str, Any], new: RateCard, seed: int) -> None:
    together, one_by_one, _ = _both(_numbered([*alike(one, seed), *BAD, *alike(MINIMAL, seed)]), new)
    assert together == one_by_one


@pytest.mark.parametrize("at_once", [30, 1000])
def test_each_order_is_told_in_its_place_and_most_are_summed(at_once: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(moving, "AT_ONCE", at_once)
    monkeypatch.setattr(many, "FEW", 2)
    new = card(work_centers__mill=2)
    entries = _numbered([*catalogue()[:60], *BAD, *alike(MINIMAL, 2)])
    together, one_by_one, outcomes = _both(entries, new)
    assert together == one_by_one
    assert [outcome.order for outcome in outcomes] == [entry.line for entry in entries]
    assert sum(isinstance(outcome, Summed) for outcome in outcomes) > 50
    singly = {one.order: one for one in compared(entries, _under(CARD), _under(new))}
    for outcome in outcomes:
        alone = singly[outcome.order]
        if isinstance(outcome, Summed) and isinstance(alone, OrderImpact):
            assert (outcome.comparison.a, outcome.comparison.b) == (alone.comparison.a, alone.comparison.b)
            paid = {one.module: one for one in alone.comparison.modules if {one.a, one.b} != {"0.00"}}
            assert {one.module: one for one in outcome.comparison.modules} == paid
            assert in_full(outcome, _under(CARD), _under(new)) == alone
