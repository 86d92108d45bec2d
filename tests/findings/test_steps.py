"""Two rows of evenly spaced places: how near they come, by every pair of places."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallyplate.findings import walls
from tallyplate.findings.walls import between_steps

ROWS = st.tuples(st.floats(-50, 50), st.floats(0.5, 40), st.integers(1, 8))


def _every(one: tuple[float, float, int], two: tuple[float, float, int]) -> float:
    places, others = ([start + index * step for index in range(count)] for start, step, count in (one, two))
    return min(abs(place - other) for place in places for other in others)


@given(ROWS, ROWS)
def test_the_least_distance_is_that_of_the_nearest_two(
    one: tuple[float, float, int], two: tuple[float, float, int]
) -> None:
    assert between_steps(*one, *two) == between_steps(*two, *one) == pytest.approx(_every(one, two), abs=1e-9)


@given(ROWS, ROWS)
def test_of_very_many_it_is_never_overstated(one: tuple[float, float, int], two: tuple[float, float, int]) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(walls, "MOST_STEPS", 0)
        said = between_steps.__wrapped__(*one, *two)
    assert 0 <= said <= _every(one, two) + 1e-9


def test_rows_of_millions_take_no_longer() -> None:
    assert between_steps(0.0, 1e-4, 5_000_000, 600.0, 1e-4, 5_000_000) == pytest.approx(100.0001)
    assert between_steps(0.0, 1e-4, 5_000_000, 7.0, 1e-4, 5_000_000) == 0
