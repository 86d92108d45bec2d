"""Bounds: no combination costs less than its own, and with modules that only add up and take shares hardly more."""

from typing import Any, cast

import pytest
from msgspec.structs import replace

import tallyplate
from tallyplate.contract import CostModule, Stage
from tallyplate.http.effects import start
from tallyplate.tradeoffs.alternatives.bounds import Amount
from tallyplate.tradeoffs.alternatives.candidates import Candidates
from tallyplate.tradeoffs.alternatives.handing import opened
from tallyplate.tradeoffs.alternatives.opaque import Looked, Opaque
from tallyplate.tradeoffs.alternatives.plates import Plates
from tallyplate.tradeoffs.alternatives.remembered import Remembered
from tallyplate.tradeoffs.alternatives.variables import variables
from tests.plates import built, installation, request
from tests.tradeoffs.alternatives import pricer, with_modules
from tests.tradeoffs.odd_costs import LATER, MAKING

FREE: list[Any] = [
    {"pointer": "/plate/material", "values": ["steel-1018", "al-cast"]},
    "/plate/finish",
    {"pointer": "/plate/pattern/pitch", "values": ["50 mm"]},
    {"pointer": "/plate/position_tolerance", "values": ["0.01 mm", "0.05 mm", "0.1 mm"]},
]
CENTS = 8
"""What three rounded lines, one upon the other, may take an order below the exact sum of its shares."""


def _gaps(here: tallyplate.Installation) -> list[float]:
    """For every combination, by how many minor units its price is above its bound."""
    asked, prices = request(), pricer(request(), here)
    candidates = Candidates(prices)
    found = [
        candidate
        for plate in Plates(asked, variables(start(asked, here), FREE), prices)
        for _, candidate in candidates.of(plate)
    ]
    totals = [prices.total(lambda build: build, candidate.build) for candidate in found]
    return [cast("int", total) - candidate.bound for total, candidate in zip(totals, found, strict=True)]


def test_bounds_with_the_shipped_modules_are_the_prices_but_for_rounding() -> None:
    gaps = _gaps(installation())
    assert len(gaps) > 30
    assert min(gaps) >= 0
    assert max(gaps) <= CENTS


@pytest.mark.parametrize("name", [*MAKING, "by_line"])
def test_bounds_with_modules_that_look_at_no_amount_are_as_tight(name: str) -> None:
    gaps = _gaps(with_modules(**{name: {**MAKING, **LATER}[name]}))
    assert min(gaps) >= 0
    assert max(gaps) <= CENTS + 60  # by_line rounds each of some sixty lines


@pytest.mark.parametrize("stage", [Stage.OVERHEAD, Stage.MARGIN, Stage.ORDER])
@pytest.mark.parametrize("name", sorted(set(LATER) - {"by_line"}))
def test_no_price_is_below_its_bound_whatever_a_module_does(name: str, stage: Stage) -> None:
    module: CostModule = replace(LATER[name], stage=stage)
    assert min(_gaps(with_modules(**{name: module}))) >= 0


def test_amounts_add_up_and_take_shares_and_are_never_taken_off_once_they_are_floors() -> None:
    one, floor = Amount({0: 1.0}), Amount({1: 0.5}, -1.0, floors=True)
    total = 100 - sum([one, one]) / 4 + 3 * floor
    assert (total.weights, total.rest, total.floors) == ({0: -0.5, 1: 1.5}, 97.0, True)
    for taken_off in (lambda: one - floor, lambda: 5 - floor, lambda: -floor, lambda: floor * -0.1, lambda: floor / -2):
        with pytest.raises(Looked):
            taken_off()
    for looked_at in (
        lambda: one > cast("Any", 5),
        lambda: one * one,
        lambda: int(cast("Any", one)),
        lambda: one + cast("Any", "5"),
    ):
        with pytest.raises(Looked):
            looked_at()


def test_a_name_that_is_not_on_offer_is_looked_at() -> None:
    shop = installation().shops[-1]
    opened(shop).require(("/plate/finish", Opaque(("plain", "anodized")), shop.finishes))
    with pytest.raises(Looked):
        opened(shop).require(("/plate/finish", Opaque(("plain", "gold")), shop.finishes))


def test_a_price_is_remembered_with_every_blank_that_it_was_tried_on() -> None:
    prices, build = pricer(request()), built()
    dear = replace(build.blank, thickness=2 * build.blank.thickness)
    total, either = Remembered(prices.total), replace(build, blank=dear, other_blanks=(build.blank,))
    alone, both = total(replace(either, other_blanks=())), total(either)
    assert alone is not None
    assert both is not None
    assert both < alone
