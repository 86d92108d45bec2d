"""Checks that a build which has more never costs less by a module, on builds that hypothesis draws and on plates."""

from collections.abc import Callable, Iterator
from functools import partial
from typing import Any

from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy

from tallyplate.contract import Build
from tallyplate.proof.counter_examples import amount
from tallyplate.testkit.check import falsified
from tallyplate.testkit.examples import briefly
from tallyplate.testkit.module_trial import ModuleTrial
from tallyplate.testkit.strategies import builds, cards, grown, with_more_holes
from tallyplate.testkit.strategies.growth import WAYS

QUANTITIES = st.sampled_from((1, 2, 10, 60))


def cheaper_when_grown(trial: ModuleTrial) -> Iterator[str]:
    """Builds with more of something other than holes that cost less."""
    # Each way by itself, since chance neglects some.
    for way in WAYS:
        yield from _cheaper(trial, partial(grown, way=way))


def cheaper_with_more_holes(trial: ModuleTrial) -> Iterator[str]:
    """Builds with holes more that cost less."""
    yield from _cheaper(trial, with_more_holes)


def _cheaper(trial: ModuleTrial, more: Callable[[SearchStrategy[Build]], SearchStrategy[Any]]) -> Iterator[str]:
    any_card = cards(trial.card) if trial.card.sections.get(trial.name) is not None else st.just(trial.card)

    def compare(drawn: Any) -> Iterator[str]:  # noqa: ANN401 - what the strategy below draws
        (lesser, greater, way), quantity, card = drawn
        before, after = (trial.cost(build, quantity, card) for build in (lesser, greater))
        if after < before:
            costs = f"an order of {quantity} costs {amount(after, card)} instead of {amount(before, card)}"
            yield f"with {way} {costs}; {briefly(lesser)}, and then {briefly(greater)}"

    for known in (st.sampled_from([build for _, build in trial.builds]), builds(trial.shop)):
        yield from falsified(st.tuples(more(known), QUANTITIES, any_card), compare)
