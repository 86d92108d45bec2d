"""Answers of many plates joined: of a function that is asked about each by itself, and of one asked about each part."""

from collections.abc import Callable, Hashable, Sequence
from typing import Any, Final

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from tallyplate.columns.column import Column, Values, chosen
from tallyplate.columns.parting import Parted
from tallyplate.columns.walking import Ragged, mapped, plain, taken

__all__ = ["chosen", "each", "joined", "taken", "united"]

MOST_SAID: Final = 50_000
"""Answers that are remembered, each some kilobytes at most."""


def each(function: Callable[..., Any], args: tuple[Any, ...], named: dict[str, Any]) -> Any:
    """What a pure function says of each plate; it is asked once of plates that agree in all that it is given."""
    columns: list[Column] = []

    def met(column: Column) -> None:
        columns.append(column)

    static = mapped((args, tuple(named.items())), met)
    said = _said(function, static)
    places: dict[tuple[Any, ...], int] = {}
    rows = zip(*[column.values.tolist() for column in columns], strict=True)
    which = np.array([places.setdefault(row, len(places)) for row in rows])
    for row in places:
        if row not in said:
            figures = iter(row)
            own_args, own_named = mapped((args, named), lambda _: next(figures))  # noqa: B023 - used at once
            said[row] = function(*own_args, **own_named)
    return joined([said[row] for row in places], which)


_ALL: dict[object, dict[tuple[Any, ...], Any]] = {}


def _said(function: Callable[..., Any], static: object) -> dict[tuple[Any, ...], Any]:
    """What a function has said, by the figures that it was given, beside all else that it was given."""
    if sum(map(len, _ALL.values())) > MOST_SAID:
        _ALL.clear()
    return _ALL.setdefault((function, static), {})


def joined(answers: Sequence[Any], which: Values) -> Any:
    """One value for all plates from the answer of each kind of plate; plates whose answers differ in kind part."""
    first = answers[0]
    if all(answer is first for answer in answers):
        return first
    if all(isinstance(answer, (int, float)) for answer in answers):
        return first if all(answer == first for answer in answers) else Column(np.array(answers)[which])
    kind = type(first)
    if any(type(answer) is not kind for answer in answers):
        raise _by([type(answer).__name__ for answer in answers], which)
    if kind is tuple or kind is list:
        return _sequences(kind, answers, which)
    if isinstance(first, Struct):
        return kind(*[joined([getattr(one, name) for one in answers], which) for name in kind.__struct_fields__])
    if any(answer != first for answer in answers):
        raise _by(answers, which)
    return first


def _sequences(kind: type[Any], answers: Sequence[Any], which: Values) -> Any:
    lengths = [len(answer) for answer in answers]
    if len(set(lengths)) > 1:
        return Ragged(Column(np.array(lengths)[which]))
    return kind(joined(parts, which) for parts in zip(*answers, strict=True))


def _by(labels: Sequence[Hashable], which: Values) -> Parted:
    """The plates, parted by what is said of each kind."""
    numbers: dict[Hashable, int] = {}
    parts = np.array([numbers.setdefault(label, len(numbers)) for label in labels])[which]
    return Parted(tuple(np.flatnonzero(parts == number) for number in range(len(numbers))))


def united(found: list[tuple[Values, Any]], key: Callable[[Any], Hashable], figures: tuple[str, ...]) -> Any:
    """Sequences of structs of the plates at some places, as one: see `parting.union`."""
    count = sum(len(places) for places, _ in found)
    firsts: dict[Hashable, Any] = {}
    columns: dict[Hashable, list[Values]] = {}
    for places, sequence in found:
        met: dict[Hashable, int] = {}
        for one in sequence:
            of = key(one)
            name = of, met.get(of, 0)
            met[of] = name[1] + 1
            firsts.setdefault(name, one)
            held = columns.setdefault(name, [np.zeros(count, np.int64) for _ in figures])
            for place, field in enumerate(figures):
                held[place] = _with(held[place], places, getattr(one, field))
    made = (
        replace(firsts[name], **{field: plain(column) for field, column in zip(figures, held, strict=True)})
        for name, held in columns.items()
    )
    return type(found[0][1])(made)


def _with(column: Values, places: Values, figure: Any) -> Values:
    """A column with a figure, or a column of them, at some places."""
    values = figure.values if isinstance(figure, Column) else np.asarray(figure)
    made = column.astype(np.result_type(column, values), copy=False)
    made[places] = values
    return made
