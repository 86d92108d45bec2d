"""Lattices with whole columns and rows left out, against putting every hole down and looking at each."""

from itertools import combinations, product
from math import dist, inf

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from tallyplate.documents.picture import _bands
from tallyplate.lattice import Lattice, Points, Taken, count_on, crowded
from tallyplate.left_out import gaps, kept, parted

Node = tuple[int, int]


@st.composite
def lattices(draw: st.DrawFn, *, most: int = 9) -> Lattice:
    """A small lattice: its rows perhaps of different lengths, some left out, some nodes given up."""
    columns, rows, taken = draw(st.integers(1, most)), draw(st.integers(1, most)), draw(st.sampled_from(Taken))
    bare_columns, bare_rows = (draw(st.sets(st.integers(0, count - 1), max_size=4)) for count in (columns, rows))
    ends = st.tuples(st.integers(0, columns - 1), st.integers(0, columns - 1))
    spans = draw(st.lists(ends, min_size=rows, max_size=rows)) if draw(st.booleans()) else []
    bare = Lattice(
        20.0, -30.0, 35.0, 40.0, columns, rows, taken, (), tuple(spans),
        tuple(sorted(bare_columns)), tuple(sorted(bare_rows)),
    )  # fmt: skip
    lost = put_down(bare)[:: draw(st.integers(2, 5))] if draw(st.booleans()) else []
    return replace(bare, without=tuple(lost))


def put_down(lattice: Lattice) -> list[Node]:
    """Every node taken, row by row, found by looking at each."""
    colour = {Taken.ALL: (0, 1), Taken.EVEN: (0,), Taken.ODD: (1,)}[lattice.taken]
    spans = lattice.spans or ((0, lattice.columns - 1),) * lattice.rows
    return [
        (column, row)
        for row in range(lattice.rows)
        for column in range(lattice.columns)
        if spans[row][0] <= column <= spans[row][1]
        and (column + row) % 2 in colour
        and column not in lattice.bare_columns
        and row not in lattice.bare_rows
        and (column, row) not in lattice.without
    ]


@settings(max_examples=300)
@given(lattices())
def test_counts_nodes_and_places_are_those_put_down_one_by_one(lattice: Lattice) -> None:
    nodes = put_down(lattice)
    assert lattice.count == len(nodes)
    assert list(lattice.nodes()) == nodes
    assert list(lattice.positions()) == [(20.0 + c * 35.0, -30.0 + r * 40.0) for c, r in nodes]
    every = product(range(-1, lattice.columns + 1), range(-1, lattice.rows + 1))
    assert {*lattice.taken_of(every)} == set(nodes)


@pytest.mark.parametrize(("taken", "count"), [(Taken.ALL, 16), (Taken.EVEN, 10), (Taken.ODD, 6)])
def test_of_what_is_not_left_out_each_kind_takes_its_colour(taken: Taken, count: int) -> None:
    # Of five columns and of five rows, without the second: three even and one odd.
    assert Lattice(0, 0, 25, 25, 5, 5, taken, bare_columns=(1,), bare_rows=(1,)).count == count
    # Of such columns, and of three rows: 3 x 2 + 1 x 1 nodes of the even colour, 3 x 1 + 1 x 2 of the odd.
    of_three = {Taken.ALL: 12, Taken.EVEN: 7, Taken.ODD: 5}[taken]
    assert Lattice(0, 0, 25, 25, 5, 3, taken, bare_columns=(1,)).count == of_three


@settings(max_examples=300)
@given(lattices(), st.floats(-60, 400), st.floats(-60, 400), st.floats(0, 150))
def test_what_lies_near_a_place_is_what_measures_nearer(lattice: Lattice, x: float, y: float, distance: float) -> None:
    near = [node for node in put_down(lattice) if dist(lattice.position(node), (x, y)) < distance * (1 - 1e-9)]
    chords = lattice.chords(y, distance)
    assert sorted(lattice.nodes_on(chords, x)) == sorted(near)
    assert crowded(lattice, Points(((x, y),)), distance) == frozenset(near)
    assert count_on(chords, x) == len(near) + sum(
        dist(lattice.position(node), (x, y)) < distance * (1 - 1e-9) for node in lattice.without
    )


def nearest(first: list[tuple[float, float]], second: list[tuple[float, float]]) -> float:
    return min((dist(a, b) for a, b in product(first, second) if a != b), default=inf)


@settings(max_examples=300)
@example(Lattice(20.0, -30.0, 35.0, 40.0, 6, 6, Taken.EVEN, bare_columns=(0, 2, 4), bare_rows=(0, 2, 4)))
@given(lattices(most=12).filter(lambda one: one.bare_columns or one.bare_rows))
def test_spacing_is_the_least_distance_between_what_is_not_left_out(lattice: Lattice) -> None:
    whole = replace(lattice, without=(), spans=())
    places = list(map(whole.position, put_down(whole)))
    assert whole.spacing == pytest.approx(nearest(places, places))
    assert lattice.spacing <= nearest(*[list(lattice.positions())] * 2) + 1e-9
    turns = [list(map(lattice.position, put_down(replace(whole, taken=taken)))) for taken in (Taken.EVEN, Taken.ODD)]
    assert whole.between(Taken.EVEN, Taken.ODD) == pytest.approx(nearest(*turns))


@given(lattices())
def test_the_box_is_about_the_columns_and_rows_that_remain(lattice: Lattice) -> None:
    columns = [column for column in range(lattice.columns) if column not in lattice.bare_columns]
    rows = [row for row in range(lattice.rows) if row not in lattice.bare_rows]
    if columns and rows:
        lower_left, upper_right = lattice.position((columns[0], rows[0])), lattice.position((columns[-1], rows[-1]))
        assert lattice.box == (*lower_left, *upper_right)


@given(lattices())
def test_a_tool_goes_the_same_way_whatever_is_left_out(lattice: Lattice) -> None:
    assert lattice.path == replace(lattice, without=(), bare_columns=(), bare_rows=()).path


@given(lattices())
def test_a_texture_covers_what_remains_and_nothing_that_is_left_out(lattice: Lattice) -> None:
    covered = [
        (column, row)
        for first, last, lower, upper in _bands(lattice)
        for column in range(first, last + 1)
        for row in range(lower, upper + 1)
    ]
    assert len(covered) == len(set(covered))
    all_of_them = replace(lattice, taken=Taken.ALL, without=())
    assert set(covered) == set(put_down(all_of_them))


@given(st.integers(0, 60), st.integers(1, 3), st.sets(st.integers(0, 80), max_size=12))
def test_runs_are_what_remains_in_order(count: int, step: int, left_out: set[int]) -> None:
    steps = range(1, count, step)
    assert [one for run in parted(steps, sorted(left_out)) for one in run] == [s for s in steps if s not in left_out]


@settings(max_examples=300)
@given(st.integers(0, 90), st.sets(st.integers(0, 40), max_size=30))
def test_gaps_are_the_nearest_of_all_pairs_though_only_the_first_steps_are_looked_at(count: int, out: set[int]) -> None:
    left_out = {step for step in out if step < count}
    remain = [step for step in range(count) if step not in left_out]
    assert kept(count, left_out) == (sum(s % 2 == 0 for s in remain), sum(s % 2 for s in remain))
    found = gaps(count, left_out)
    for one, other in product((0, 1), repeat=2):
        apart = [b - a for a, b in combinations(remain, 2) if {(a % 2, b % 2), (b % 2, a % 2)} & {(one, other)}]
        none = [0] if one == other and any(step % 2 == one for step in remain) else []
        assert list(found.get((one, other), ())) == none + ([min(apart)] if apart else [])


def test_a_million_holes_with_rows_and_columns_left_out_are_counted_without_being_made() -> None:
    lattice = Lattice(0, 0, 1, 1, 10**9, 10**9 + 1, Taken.ODD, (), (), (0, 7), (2,))
    assert lattice.count == (10**9 - 2) * 10**9 // 2
    assert lattice.spacing == pytest.approx(2**0.5)
    assert next(lattice.nodes()) == (1, 0)
