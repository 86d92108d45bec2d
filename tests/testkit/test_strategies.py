"""What the strategies draw: builds that are whole, plates that can be read, cards that can be deployed."""

from fractions import Fraction
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from tallyplate.contract import Build, Order, Rate, Refusal, Sum, Usual
from tallyplate.inquiry import read
from tallyplate.pricing import Modules, price
from tallyplate.rates.card import RateCard
from tallyplate.rates.walk import Leaf, figures
from tallyplate.testkit.strategies import builds, cards, grown, plates, with_more_holes
from tallyplate.testkit.strategies.growth import Pair
from tests.plates import installation

HERE = installation()
CARD, SHOP, MODULES = HERE.cards[-1], HERE.shops[-1], Modules.of(HERE.modules)


def total(build: Build, card: RateCard = CARD) -> int:
    return price(build, Order(2, card.effective_from), SHOP, card, MODULES).total


@settings(max_examples=20)
@given(builds(), cards())
def test_every_build_is_priced_under_every_card(build: Build, card: RateCard) -> None:
    assert build.blank.length >= build.body.length
    assert build.blank.thickness >= build.body.thickness
    assert total(build, card) > 0


@settings(max_examples=20)
@given(cards())
def test_a_card_scales_figures_and_keeps_the_rest(card: RateCard) -> None:
    before, after = ({**one.sections, "work_centers": one.work_centers} for one in (CARD, card))
    known = dict(figures(before))
    assert [path for path, _ in figures(after)] == list(known)
    for path, leaf in figures(after):
        assert Fraction(1, 4) <= size(leaf) / size(known[path]) <= 4


def size(leaf: Leaf) -> Fraction:
    if isinstance(leaf, Rate):
        return Fraction(leaf.coefficient, 10**leaf.decimals)
    return Fraction(leaf.minor) if isinstance(leaf, Sum) else Fraction(float(leaf))


@settings(max_examples=20)
@given(st.one_of(grown(builds()), with_more_holes(builds())))
def test_what_has_more_never_costs_less_by_what_is_shipped(pair: Pair) -> None:
    assert total(pair.greater) >= total(pair.lesser), pair.way


@settings(max_examples=20)
@given(with_more_holes(builds()))
def test_more_holes_leave_all_else(pair: Pair) -> None:
    assert sum(group.count for group in pair.greater.holes) > sum(group.count for group in pair.lesser.holes)
    assert (pair.greater.body, pair.greater.blank) == (pair.lesser.body, pair.lesser.blank)


@settings(max_examples=20)
@given(st.data())
def test_plates_of_every_family_can_be_read_and_some_can_be_made(data: Any) -> None:
    name = data.draw(st.sampled_from(sorted(HERE.families)))
    plate = data.draw(plates(HERE.families[name], name))
    made = outcome(name, plate)
    if isinstance(made, Refusal):
        assert all(fault.pointer.startswith("/plate/") for fault in made.faults)
    else:
        assert made.body.material == plate["material"]


def outcome(name: str, plate: Any) -> Build | Refusal:
    try:
        return HERE.families[name].build(read({"plate": plate}, HERE.families).plate, SHOP, Usual())
    except Refusal as refusal:
        return refusal
