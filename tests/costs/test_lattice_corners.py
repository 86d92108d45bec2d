"""Corners of the hole grid that a regular one never shows: long pitches, a way between, a hole just beyond reach."""

import pytest

from tallyplate.lattice import Lattice, Points, Taken, crowded


@pytest.mark.parametrize(("pitch_x", "pitch_y"), [(10.0, 40.0), (40.0, 10.0)])
def test_neighbours_of_every_other_node_may_lie_two_short_pitches_apart(pitch_x: float, pitch_y: float) -> None:
    # The diagonal, 41.2 mm, is longer than twice the shorter pitch.
    assert Lattice(0.0, 0.0, pitch_x, pitch_y, 4, 4, Taken.EVEN).spacing == 20.0


def test_a_node_taken_or_not_is_plainly_true_or_false() -> None:
    lattice = Lattice(0.0, 0.0, 10.0, 10.0, 2, 2, Taken.ODD, ((1, 0),))
    assert [*lattice.taken_of(((0, 0), (1, 0), (0, 1), (2, 1)))] == [(0, 1)]


def test_a_hole_beyond_reach_is_not_near_however_short_the_reach() -> None:
    lattice = Lattice(0.0, 0.0, 10.0, 10.0, 3, 3)
    chords = lattice.chords(10.0, 0.6)
    assert lattice.nodes_on(chords, 10.8) == []
    assert lattice.nodes_on(chords, 10.5) == [(1, 1)]


def test_a_pattern_is_crowded_wherever_a_hole_lies_nearer_than_the_distance_to_any_point() -> None:
    lattice = Lattice(0.0, 0.0, 10.0, 10.0, 4, 4)
    points = Points(((0.0, 0.0), (30.0, 25.0)))
    assert crowded(lattice, points, 6.0) == {(0, 0), (3, 2), (3, 3)}
    assert crowded(lattice, points, 5.0) == {(0, 0)}
