"""The way of a drill over a lattice against shortest paths."""

from functools import cache
from itertools import product
from math import dist, inf

import pytest

from tallyplate.contract import Lattice, Taken


def shortest(points: tuple[tuple[float, float], ...]) -> float:
    """Length of the shortest open path through all points, by Held and Karp: exact, and slow."""
    everything = (1 << len(points)) - 1

    @cache
    def rest(last: int, visited: int) -> float:
        if visited == everything:
            return 0.0
        return min(
            dist(points[last], points[following]) + rest(following, visited | 1 << following)
            for following in range(len(points))
            if not visited >> following & 1
        )

    return min((rest(first, 1 << first) for first in range(len(points))), default=inf)


def test_the_way_over_ten_by_ten_holes_is_the_shortest() -> None:
    # 100 holes, pitch 50 mm: 4950 mm open, 5000 mm closed (verified: a solver of travelling-salesman tours run on it).
    assert Lattice(0, 0, 50, 50, 10, 10).path == pytest.approx(4950)


def test_the_way_over_four_by_three_holes_is_the_shortest() -> None:
    # Pitch 1: 11 open, 12 closed (verified: solved exactly by python-tsp 0.5.0).
    assert Lattice(0, 0, 1, 1, 4, 3).path == pytest.approx(11)
    assert shortest(tuple(product((0.0, 1, 2, 3), (0.0, 1, 2)))) == pytest.approx(11), "our own solver agrees"


@pytest.mark.parametrize("columns", [1, 2, 3, 4])
@pytest.mark.parametrize("rows", [1, 2, 3])
def test_the_way_over_a_full_lattice_is_the_shortest(columns: int, rows: int) -> None:
    lattice = Lattice(7, 5, 25, 25, columns, rows)
    assert lattice.path == pytest.approx(shortest(tuple(lattice.positions())))


@pytest.mark.parametrize("taken", [Taken.EVEN, Taken.ODD])
def test_the_way_over_every_other_hole_is_never_charged_short(taken: Taken) -> None:
    lattice = Lattice(0, 0, 25, 25, 5, 4, taken)
    assert lattice.path >= shortest(tuple(lattice.positions()))
