"""The front of candidates whose prices are known: that of looking at all, though few are priced."""

from collections.abc import Sequence
from typing import Any, NamedTuple

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallyplate.contract import Refusal
from tallyplate.tradeoffs.alternatives import front as searched
from tallyplate.tradeoffs.alternatives.candidates import Candidate
from tallyplate.tradeoffs.alternatives.front import Front, front
from tallyplate.tradeoffs.alternatives.measures import Measures


class Known(NamedTuple):
    """A plate by its bound, its price if it has one, its measures and how many changes it takes."""

    bound: float
    price: int | None
    measures: Measures
    changed: int


def _front(plates: Sequence[Known], budget: int) -> tuple[Front, list[int]]:
    """The front, and the numbers of those that were priced; numbers count from 0."""
    nothing: Any = None
    priced: list[int] = []

    def price(candidate: Candidate) -> int | None:
        priced.append(candidate.number)
        return plates[candidate.number].price

    given = ((one.measures, Candidate(one.bound, number, nothing, ())) for number, one in enumerate(plates))
    return front(given, budget, price, lambda number: plates[number].changed), priced


def _by_looking_at_all(plates: Sequence[Known]) -> list[int]:
    keys = [
        (one.price, *one.measures.rank, one.changed, number)
        for number, one in enumerate(plates)
        if one.price is not None
    ]
    best: list[tuple[Any, ...]] = []
    for key in sorted(keys):
        if not any(all(ours <= theirs for ours, theirs in zip(other[:4], key[:4], strict=True)) for other in best):
            best.append(key)
    return [key[-1] for key in best]


@st.composite
def _known(draw: st.DrawFn) -> Known:
    # Few figures, so that prices, bounds and measures often are the same.
    price = draw(st.integers(3, 9))
    below = draw(st.sampled_from([0, 0.5, 1, 3]))
    measures = Measures(*(draw(st.integers(1, 3)) for _ in range(3)))
    return Known(price - below, draw(st.sampled_from([price, price, price, None])), measures, draw(st.integers(0, 2)))


@given(st.lists(_known(), max_size=12), st.integers(0, 12))
def test_the_front_is_that_of_looking_at_all(plates: list[Known], budget: int) -> None:
    expected = _by_looking_at_all(plates)
    within = [number for number in expected if (plates[number].price or 0) <= budget]
    found, _ = _front(plates, budget)
    assert [one.candidate.number for one in found.within] == within
    assert [one.total for one in found.within] == [plates[number].price for number in within]
    beyond = None if within or not expected else expected[0]
    assert (found.beyond.candidate.number if found.beyond else None) == beyond
    assert found.possible == len(plates)


def test_what_cannot_be_better_than_what_is_known_is_not_priced() -> None:
    good, poor = Measures(9, 0.01, 9.0), Measures(1, 0.1, 1.0)
    plates = [Known(10, 10, good, 0), *(Known(11, 12, poor, 1) for _ in range(50)), Known(11, 12, good, 1)]
    found, priced = _front(plates, 100)
    assert [one.candidate.number for one in found.within] == [0]
    assert priced == [0]


def test_what_is_beyond_the_budget_is_not_priced() -> None:
    plates = [Known(10 * step, 10 * step + 1, Measures(step, 0.1, 1.0), 0) for step in range(1, 50)]
    found, priced = _front(plates, 25)
    assert [one.total for one in found.within] == [11, 21]
    assert priced == [0, 1, 2]


def test_a_search_that_would_price_too_many_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(searched, "MOST_PRICED", 5)
    with pytest.raises(Refusal, match="more than 5 combinations have to be priced one by one"):
        _front([Known(0, 9, Measures(1, 0.1, 1.0), 0) for _ in range(6)], 100)
