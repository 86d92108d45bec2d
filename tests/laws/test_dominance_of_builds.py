"""Law 1, on builds: more of anything that is made never costs less."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tallyplate.contract import Build
from tests.laws.builds import builds
from tests.laws.growth import GROWTHS, Growth
from tests.laws.prices import cheaper


@st.composite
def pairs(draw: st.DrawFn, way: Growth) -> tuple[Build, Build]:
    """A build, and one that dominates it in one way."""
    smaller = draw(builds())
    return smaller, way(draw, smaller)


@pytest.mark.parametrize("way", GROWTHS, ids=lambda way: way.__name__)
@settings(max_examples=75)
@given(data=st.data())
def test_a_build_that_dominates_another_never_costs_less(way: Growth, data: st.DataObject) -> None:
    smaller, larger = data.draw(pairs(way), "smaller and larger")
    assert not cheaper(larger, smaller, data.draw(st.integers(1, 60), "quantity"))
