"""Columns: element by element what Python's own numbers give, to the last bit, or a loud refusal."""

import math
import operator
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallyplate.columns.column import Column, Lengths
from tallyplate.columns.parting import Parted, Unhashable

FLOATS = st.one_of(st.floats(1e-6, 1e9), st.floats(-1e9, -1e-6), st.just(0.0))
WHOLES = st.integers(-(10**9), 10**9)
NUMBERS = st.one_of(st.lists(FLOATS, min_size=1, max_size=5), st.lists(WHOLES, min_size=1, max_size=5))

ARITHMETIC = [operator.add, operator.sub, operator.mul, operator.truediv, operator.floordiv, operator.mod]
COMPARISONS = [operator.lt, operator.le, operator.gt, operator.ge, operator.eq, operator.ne]


def column(figures: list[Any]) -> Any:
    return Column(np.array(figures))


def _same(found: Any, expected: list[Any]) -> None:
    assert found.values.tolist() == expected
    assert [type(one) for one in found.values.tolist()] == [type(one) for one in expected]


@pytest.mark.parametrize("function", ARITHMETIC)
@given(figures=NUMBERS, other=st.one_of(FLOATS, WHOLES))
def test_arithmetic_is_pythons(function: Callable[[Any, Any], Any], figures: list[Any], other: Any) -> None:
    for turned in (False, True):
        pairs = [(other, one) if turned else (one, other) for one in figures]
        try:
            expected = [function(*pair) for pair in pairs]
        except ZeroDivisionError:
            with pytest.raises(ZeroDivisionError):
                function(other, column(figures)) if turned else function(column(figures), other)
            continue
        _same(function(other, column(figures)) if turned else function(column(figures), other), expected)
    both = column([other] * len(figures))
    if other or function in ARITHMETIC[:3]:
        _same(function(column(figures), both), [function(one, other) for one in figures])


@pytest.mark.parametrize("function", COMPARISONS)
@given(figures=NUMBERS, other=st.one_of(FLOATS, WHOLES))
def test_comparisons_are_pythons(function: Callable[[Any, Any], Any], figures: list[Any], other: Any) -> None:
    _same(function(column([*figures, other]), other), [function(one, other) for one in [*figures, other]])


@given(figures=NUMBERS)
def test_rounding_and_signs_are_pythons(figures: list[Any]) -> None:
    for function in (math.floor, math.ceil, math.trunc, abs, operator.neg, operator.pos):
        _same(function(column(figures)), [function(one) for one in figures])
    _same(column(figures) ** 2, [one**2 for one in figures])


def test_what_is_beyond_64_bits_is_refused_and_never_wraps() -> None:
    whole, wide = column([2**61, 1]), column([1e19, 1.0])
    for overflowing in (lambda: whole * 2, lambda: 2 * whole, lambda: math.floor(wide), lambda: math.ceil(-wide)):
        with pytest.raises(OverflowError):
            overflowing()
    _same(whole * 1, [2**61, 1])


def test_plates_part_where_a_question_has_two_answers() -> None:
    assert bool(column([1.0, 2.0]) > 0)
    assert not column([0, 0])
    with pytest.raises(Parted) as parted:
        bool(column([1, 5, 2, 7]) > 4)
    assert [part.tolist() for part in parted.value.parts] == [[1, 3], [0, 2]]
    with pytest.raises(Parted) as parted:
        range(column([3, 1, 3, 2]))
    assert [part.tolist() for part in parted.value.parts] == [[1], [3], [0, 2]]
    assert list(range(column([2, 2]))) == [0, 1]
    for asked in (float, int):
        assert asked(column([4, 4])) == 4
        with pytest.raises(Parted):
            asked(column([4, 5]))


def test_a_column_is_no_key_even_where_all_plates_agree() -> None:
    with pytest.raises(Unhashable):
        hash(column([1.0, 1.0]))
    with pytest.raises(TypeError):
        {column([1.0, 1.0]): 1}


def test_what_is_no_figure_is_neither_equal_nor_added() -> None:
    assert column([1.0]) != "a"
    for other in ("a", None, [1]):
        with pytest.raises(TypeError):
            column([1.0]) + other
    with pytest.raises(TypeError):
        column([2.0]) ** 0.5


def test_lengths_are_columns_with_a_text_that_says_nothing() -> None:
    lengths: Any = Lengths(np.array([25.4, 600.0]))
    assert type(lengths.mm) is Column
    assert lengths.text == str(lengths) == f"{lengths:.3f}"
    _same(lengths / 2, [12.7, 300.0])
