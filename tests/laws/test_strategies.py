"""The strategies themselves: most of what they draw is priced, and they reach the steps that they aim at."""

from collections import Counter
from collections.abc import Iterator
from functools import cache
from math import ceil

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from tallyplate.contract import Build, Lattice, Refusal
from tallyplate.units import length
from tallyplate_plugins.costs import packing
from tests.laws.test_clearance import errors
from tests.strategies import BREAKS, CARD, SHOP, UM, UNITS, Json, build_of, exact, in_mm, one_of, requests, said

DRAWN = 200


def reached(build: Build, quantity: int) -> Iterator[str]:
    """The steps that an order for a build stands at."""
    body, blank = build.body, build.blank
    for group in build.holes:
        if isinstance(group.layout, Lattice):
            lattice = group.layout
            right = exact(lattice.x) + (lattice.columns - 1) * exact(lattice.pitch_x)
            if exact(body.length) - right == exact(lattice.x):
                yield "the last hole fits exactly"
    sheet = SHOP.materials[body.material].stock[blank.form]
    if exact(body.thickness) + 2 * exact(sheet.clean_up) == exact(blank.thickness):
        yield "the stock is exactly thick enough"
    if exact(body.thickness) + 2 * exact(sheet.clean_up) + UM in map(exact, sheet.thicknesses):
        yield "the stock is a micrometre thicker than needed"
    for part in build.fitted():
        if any((quantity - 1) * part.count < start <= quantity * part.count for start in BREAKS):
            yield "a price break is just reached"
    crates = [ceil(some * SHOP.mass(body) / SHOP.figures(packing.Figures).crate_load) for some in range(quantity + 2)]
    if 0 < crates[quantity - 1] < crates[quantity]:
        yield "a crate is just begun"
    if crates[quantity] < crates[quantity + 1]:
        yield "a crate is just full"


@cache
def outcomes() -> Counter[str]:
    """How often each thing happens among the same few hundred requests."""
    counted: Counter[str] = Counter()

    @settings(max_examples=DRAWN, derandomize=True, database=None, phases=[Phase.generate])
    @given(requests())
    def count(request: Json) -> None:
        try:
            build = build_of(request["plate"])
        except Refusal:
            counted["refused"] += 1
            return
        counted.update({"priced", *reached(build, request["quantity"])})
        counted["priced without an error"] += not errors(request["plate"])

    count()
    return counted


def test_at_least_half_of_the_requests_drawn_are_priced_rather_than_refused() -> None:
    assert outcomes()["priced"] >= DRAWN / 2
    assert outcomes()["priced"] + outcomes()["refused"] == DRAWN


def test_a_fair_share_of_the_requests_drawn_can_be_made() -> None:
    assert outcomes()["priced without an error"] >= DRAWN / 6


@pytest.mark.parametrize(
    "step",
    [
        "the last hole fits exactly",
        "the stock is exactly thick enough",
        "the stock is a micrometre thicker than needed",
        "a price break is just reached",
        "a crate is just begun",
        "a crate is just full",
    ],
)
def test_the_requests_drawn_reach_the_steps(step: str) -> None:
    assert outcomes()[step] >= DRAWN / 50


def test_the_price_breaks_aimed_at_are_the_rate_cards() -> None:
    inserts = CARD.sections["inserts"]
    lists = [*inserts.bushing.values(), *inserts.thread_insert.values()]
    assert {step.from_piece for prices in lists for step in prices.breaks} == {1, *BREAKS}


@st.composite
def said_twice(draw: st.DrawFn) -> tuple[str, str]:
    """A length that a plate may have, in two units."""
    step = one_of(draw, UM, UNITS["mm"], UNITS["in"] / 64)
    mm = draw(st.integers(1, 4000)) * step
    return said(draw, mm), said(draw, mm)


@given(said_twice())
def test_a_length_written_in_any_unit_reads_as_the_same_length(texts: tuple[str, str]) -> None:
    one, other = texts
    assert in_mm(one) == in_mm(other)
    assert length(one) == length(other) == float(in_mm(one))
