"""Functions that do not mind that plates part, and answers joined again."""

from math import hypot
from typing import Any

import numpy as np
import pytest
from msgspec import Struct

from tallyplate.columns import joining
from tallyplate.columns.column import Column
from tallyplate.columns.parting import (
    Parted,
    apart,
    distance,
    each_once,
    larger,
    number_of,
    remembered,
    smaller,
    told_of,
    union,
)
from tallyplate.columns.walking import Ragged, taken


class Box(Struct, frozen=True):
    name: str
    size: float
    holes: tuple[int, ...] = ()


class Shop(Struct, frozen=True, eq=False):
    figure: Any


def column(*figures: Any) -> Any:
    return Column(np.array(figures))


def _values(column: Any) -> list[Any]:
    values: list[Any] = column.values.tolist()
    return values


def test_one_plate_is_asked_about_as_ever() -> None:
    asked: list[int] = []

    @remembered(10)
    def twice(number: int) -> int:
        asked.append(number)
        return 2 * number

    assert [twice(3), twice(3), twice(4)] == [6, 6, 8]
    assert asked == [3, 4]
    assert (larger(1, 2), smaller(1, 2), number_of((1, 2)), distance(3, 4)) == (2, 1, 2, 5.0)
    assert (each_once((2, 1, 2)), told_of("a", (1,))) == ((1, 2), (("a", 1),))


def test_each_of_many_plates_is_asked_about_by_itself_and_like_ones_once() -> None:
    asked: list[tuple[str, float]] = []

    @remembered(10)
    def grown(box: Box, by: float) -> Any:
        asked.append((box.name, box.size))
        return Box(box.name, box.size + by)

    found = grown(Box("a", column(1.0, 2.0, 1.0)), 10.0)
    assert found.size.values.tolist() == [11.0, 12.0, 11.0]
    assert grown(Box("a", column(2.0, 3.0)), 10.0).size.values.tolist() == [12.0, 13.0]
    assert asked == [("a", 1.0), ("a", 2.0), ("a", 3.0)]
    assert grown(Box("b", column(1.0, 1.0)), column(1.0, 2.0)).size.values.tolist() == [2.0, 3.0]


def test_what_was_said_of_others_is_forgotten_in_time(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[float] = []

    @remembered(1)
    def noted(size: Any) -> Any:
        asked.append(size)
        return size

    monkeypatch.setattr(joining, "MOST_SAID", 2)
    for _ in range(2):
        noted(column(1.0, 2.0, 3.0))
    assert asked == [1.0, 2.0, 3.0, 1.0, 2.0, 3.0]


def test_answers_of_different_kinds_part_the_plates_and_figures_join() -> None:
    @remembered(10)
    def said(number: int) -> Any:
        return (number, "few" if number < 3 else "many")

    with pytest.raises(Parted) as parted:
        said(column(1, 5, 2))
    assert [part.tolist() for part in parted.value.parts] == [[0, 2], [1]]
    number, word = said(column(1, 2))
    assert (number.values.tolist(), word) == ([1, 2], "few")

    @remembered(10)
    def none_or(number: int) -> int | None:
        return number or None

    with pytest.raises(Parted):
        none_or(column(0, 1))


def test_sequences_of_different_lengths_may_be_counted_and_part_where_they_are_looked_into() -> None:
    @remembered(10)
    def holes(count: int) -> Any:
        return tuple(range(count))

    ragged: Any = holes(column(3, 0, 3))
    assert type(ragged).__name__ == Ragged.__name__
    more: Any = (1, 2)
    assert _values(number_of(ragged)) == [3, 0, 3]
    assert _values(number_of(told_of("a", each_once(ragged)) + more)) == [5, 2, 5]
    assert _values(number_of(more + ragged)) == [5, 2, 5]
    for looked in (list, len, bool, lambda some: some[0]):
        with pytest.raises(Parted) as parted:
            looked(ragged)
        assert sorted(part.tolist() for part in parted.value.parts) == [[0, 2], [1]]
    alike = taken(ragged, np.array([0, 2]))
    assert number_of(alike) == len(alike) == 3
    with pytest.raises(TypeError, match="only how many"):
        list(alike)
    with pytest.raises(TypeError):
        hash(ragged)


def test_what_is_taken_for_some_plates_is_plain_where_they_agree() -> None:
    shop = Shop(column(1, 2))
    value = (Box("a", column(1.0, 2.0, 1.0), (column(7, 8, 9), 4)), shop, [column(5, 5, 6)], {"b": column(1, 2, 3)})
    box, same, listed, named = taken(value, np.array([0, 2]))
    assert (box.size, box.holes[1], type(box.size)) == (1.0, 4, float)
    assert box.holes[0].values.tolist() == [7, 9]
    assert (listed[0].values.tolist(), named["b"].values.tolist()) == ([5, 6], [1, 3])
    assert same is shop
    untouched = (Box("a", 1.0), [2])
    assert taken(untouched, np.array([0])) is untouched


def test_figures_are_chosen_and_measured_plate_by_plate() -> None:
    one, other = column(1.0, 5.0, 3.0), column(2.0, 2.0, 3.0)
    assert _values(larger(one, other)) == [2.0, 5.0, 3.0]
    assert _values(smaller(one, other)) == [1.0, 2.0, 3.0]
    assert _values(smaller(2.0, one)) == [1.0, 2.0, 2.0]
    assert _values(distance(one, other)) == [hypot(1, 2), hypot(5, 2), hypot(3, 3)]


def test_lines_of_plates_that_part_are_one_list_with_nothing_where_a_plate_has_none() -> None:
    @apart(union(lambda box: box.name, ("size",)))
    def boxes(size: float) -> Any:
        made = [Box("every", size), Box("every", 1.0)]
        if size > 2:
            made.append(Box("large", 10 * size))
        return made

    first, second, large = boxes(column(1.0, 3.0, 2.0, 4.0))
    assert (first.size.values.tolist(), second.size) == ([1.0, 3.0, 2.0, 4.0], 1.0)
    assert (large.name, large.size.values.tolist()) == ("large", [0.0, 30.0, 0.0, 40.0])
    assert boxes(1.0) == [Box("every", 1.0), Box("every", 1.0)]


def test_whole_numbers_and_others_join_as_others() -> None:
    @apart(union(lambda box: box.name, ("size",)))
    def boxes(size: float) -> Any:
        return [Box("a", 1 if size > 2 else size)]

    (box,) = boxes(column(0.5, 3.0))
    assert box.size.values.tolist() == [0.5, 1.0]
