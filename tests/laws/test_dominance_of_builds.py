"""Law 1, on builds: more of anything that is made never costs less."""

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.laws.builds import builds
from tests.laws.growth import Pair, pairs
from tests.laws.prices import cheaper


@settings(max_examples=200)
@given(pairs(builds()), st.integers(1, 60))
def test_a_build_that_dominates_another_never_costs_less(pair: Pair, quantity: int) -> None:
    assert not cheaper(pair.larger, pair.smaller, quantity)
