"""Hole-grid arithmetic in closed form, against putting every hole down and counting."""

from fractions import Fraction
from itertools import pairwise, product
from math import dist, inf

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from tallyplate.lattice import (
    Lattice,
    Points,
    Taken,
    count_on,
    fitting,
)
from tallyplate.lettering import letter_characters, letters, number_characters

SIZES = [(1, 1), (1, 2), (2, 1), (2, 2), (1, 7), (3, 3), (4, 5), (5, 4), (6, 6)]
LATTICES = [Lattice(11.5, -3.0, 25.4, 30.0, columns, rows, taken) for (columns, rows), taken in product(SIZES, Taken)]


def _colour(taken: Taken, column: int, row: int) -> bool:
    return taken is Taken.ALL or (column + row) % 2 == {Taken.EVEN: 0, Taken.ODD: 1}[taken]


def _put_down(lattice: Lattice) -> list[tuple[int, int]]:
    """Every node taken, row by row, found by looking at each."""
    return [
        (column, row)
        for row in range(lattice.rows)
        for column in range(lattice.columns)
        if _colour(lattice.taken, column, row) and (column, row) not in lattice.without
    ]


def _giving_up(lattice: Lattice) -> Lattice:
    """The same with every third of its nodes given up."""
    return Lattice(
        lattice.x,
        lattice.y,
        lattice.pitch_x,
        lattice.pitch_y,
        lattice.columns,
        lattice.rows,
        lattice.taken,
        tuple(_put_down(lattice)[::3]),
    )


@pytest.mark.parametrize("lattice", [*LATTICES, *map(_giving_up, LATTICES)], ids=repr)
def test_counts_nodes_and_places_are_those_put_down_one_by_one(lattice: Lattice) -> None:
    nodes = _put_down(lattice)
    assert lattice.count == len(nodes)
    assert list(lattice.nodes()) == nodes
    assert list(lattice.positions()) == [(11.5 + c * 25.4, -3.0 + r * 30.0) for c, r in nodes]
    every = product(range(-1, lattice.columns + 1), range(-1, lattice.rows + 1))
    assert {*lattice.taken_of(every)} == set(nodes)


@pytest.mark.parametrize("lattice", LATTICES, ids=repr)
def test_spacing_is_the_least_distance_between_neighbours_of_a_large_enough_lattice(lattice: Lattice) -> None:
    places = list(lattice.positions())
    nearest = min((dist(a, b) for i, a in enumerate(places) for b in places[i + 1 :]), default=inf)
    assert lattice.spacing <= nearest + 1e-9
    if lattice.columns > 2 and lattice.rows > 2:
        assert lattice.spacing == pytest.approx(nearest)


@pytest.mark.parametrize("lattice", LATTICES, ids=repr)
def test_a_path_is_the_way_back_and_forth_over_every_node(lattice: Lattice) -> None:
    nodes = [
        (column, row)
        for row in range(lattice.rows)
        for column in (range(lattice.columns) if row % 2 == 0 else reversed(range(lattice.columns)))
    ]
    way = sum(dist((a * 25.4, b * 30.0), (c * 25.4, d * 30.0)) for (a, b), (c, d) in pairwise(nodes))
    assert lattice.path == pytest.approx(way)
    assert _giving_up(lattice).path == lattice.path


@pytest.mark.parametrize("lattice", [*LATTICES[-9:], *map(_giving_up, LATTICES[-9:])], ids=repr)
@pytest.mark.parametrize("distance", [0.001, 12.0, 25.4, 30.0, 47.0, 300.0])
def test_nodes_within_a_distance_are_those_that_measure_nearer(lattice: Lattice, distance: float) -> None:
    for x, y in [(11.5, -3.0), (36.9, 27.0), (24.2, 12.0), (-50.0, -50.0), (80.1, 60.3), (1e4, 0.0)]:
        near = [node for node in _put_down(lattice) if dist(lattice.position(node), (x, y)) < distance * (1 - 1e-9)]
        assert list(lattice.nodes_on(lattice.chords(y, distance), x)) == near


def test_a_path_over_rows_of_different_lengths_is_their_lengths_and_once_across_where_they_end_apart() -> None:
    # Rows from 1 to 4, from 0 to 2, none, and a single place at 5: 3 + 2 + 0 columns along, 5 across, and up twice.
    lattice = Lattice(0, 0, 25, 30, 6, 4, spans=((1, 4), (0, 2), (1, 0), (5, 5)))
    assert lattice.path == (3 + 2 + 0 + 5) * 25 + 2 * 30
    assert (lattice.count, replace(lattice, without=((0, 1), (5, 3))).count) == (8, 6)
    assert Lattice(0, 0, 25, 30, 6, 1, spans=((1, 0),)).path == 0
    assert Lattice(0, 0, 25, 30, 6, 1, spans=((2, 2),)).path == 0


def test_a_lattice_of_nothing_has_no_holes_and_no_way() -> None:
    for columns, rows in ((0, 5), (5, 0), (0, 0)):
        empty = Lattice(0, 0, 25, 25, columns, rows)
        assert (empty.count, empty.path, list(empty.nodes())) == (0, 0.0, [])


def test_a_million_holes_are_counted_without_being_made() -> None:
    million = Lattice(0, 0, 1, 1, 1_000_000_000, 1_000_000_001, Taken.ODD)
    assert million.count == 500_000_000_500_000_000
    assert next(million.nodes()) == (1, 0)


@pytest.mark.parametrize("pitch", ["35", "25.4", "0.1", "0.3", "12.7", "33.333333333", "0.0007"])
@pytest.mark.parametrize("steps", [0, 1, 2, 3, 7, 10, 70, 999])
def test_the_last_hole_that_fits_exactly_is_not_lost_and_none_is_added(pitch: str, steps: int) -> None:
    exact = Fraction(pitch)
    assert fitting(float(steps * exact), float(exact)) == steps + 1
    assert fitting(float(steps * exact - exact / 1000), float(exact)) == steps
    assert fitting(float(steps * exact + exact / 1000), float(exact)) == steps + 1


def test_a_span_is_counted_with_both_its_ends() -> None:
    assert [fitting(span, 10.0) for span in (-0.001, 0.0, 9.999, 10.0, 99.999, 100.0)] == [0, 1, 1, 2, 10, 11]


def test_given_positions_are_visited_in_their_order() -> None:
    points = Points(((0.0, 0.0), (30.0, 40.0), (30.0, 10.0)))
    assert (points.count, points.path, points.spacing) == (3, 80.0, 30.0)
    assert list(points.positions()) == list(points.at)
    assert Points(((1.0, 1.0),)).spacing == inf
    assert (Points(()).count, Points(()).path) == (0, 0.0)


def test_columns_are_lettered_as_a_reader_counts_them() -> None:
    assert [letters(number) for number in (1, 2, 26, 27, 28, 52, 53, 702, 703)] == [
        "A", "B", "Z", "AA", "AB", "AZ", "BA", "ZZ", "AAA",
    ]  # fmt: skip
    assert len({letters(number) for number in range(1, 20_000)}) == 19_999


@pytest.mark.parametrize("count", [0, 1, 9, 10, 11, 26, 27, 99, 100, 101, 701, 702, 703, 1_000, 18_278, 18_279])
def test_characters_are_counted_as_the_names_would_be_written(count: int) -> None:
    assert letter_characters(count) == len("".join(letters(number) for number in range(1, count + 1)))
    assert number_characters(count) == len("".join(str(number) for number in range(1, count + 1)))


@given(
    st.integers(1, 9),
    st.integers(1, 9),
    st.sampled_from(Taken),
    st.floats(-60, 400),
    st.floats(-60, 400),
    st.floats(0, 150),
)
def test_counting_those_within_a_distance_is_counting_what_is_there(
    columns: int, rows: int, taken: Taken, x: float, y: float, distance: float
) -> None:
    lattice = Lattice(20.0, 30.0, 35.0, 40.0, columns, rows, taken)
    chords = lattice.chords(y, distance)
    assert count_on(chords, x) == len(lattice.nodes_on(chords, x))
