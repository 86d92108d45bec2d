"""Values with columns in them: what is taken of them for some plates, and how they are joined again."""

import operator
from collections.abc import Callable, Iterator
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from tallyplate.columns.column import Column, Values
from tallyplate.columns.parting import number_of


class Ragged:
    """Sequences of many plates, of different lengths: of these only how many there are is known.

    Where more is asked, plates part by the lengths, so that whoever made the sequences makes them again for each part.
    """

    __slots__ = ("number",)

    def __init__(self, number: Any) -> None:
        self.number = number

    def __len__(self) -> int:
        return operator.index(self.number)

    def __bool__(self) -> bool:
        return bool(self.number)

    def __add__(self, other: Any) -> "Ragged":
        return Ragged(self.number + number_of(other))

    __radd__ = __add__

    def __iter__(self) -> Iterator[Any]:
        raise self._asked_for_more()

    def __getitem__(self, _: object) -> Any:
        raise self._asked_for_more()

    def _asked_for_more(self) -> BaseException:
        return (
            self.number.parted() if isinstance(self.number, Column) else TypeError("only how many there are is known")
        )

    __hash__ = None  # type: ignore[assignment]


def mapped(value: Any, change: Callable[[Column], Any]) -> Any:
    """A value with another in place of each of its columns; the very same where it has none.

    Looks into tuples, lists and structs, except those that are compared by identity, such as shop data.
    """
    kind = type(value)
    if isinstance(value, Column):
        return change(value)
    if kind is Ragged:
        return Ragged(mapped(value.number, change))
    if kind is tuple or kind is list:
        made = [mapped(one, change) for one in value]
        return value if all(map(_same, made, value)) else kind(made)
    if kind is dict:
        return {name: mapped(one, change) for name, one in value.items()}
    if isinstance(value, Struct) and kind.__struct_config__.eq:
        changed = {}
        for name in kind.__struct_fields__:
            old = getattr(value, name)
            new = mapped(old, change)
            if new is not old:
                changed[name] = new
        return replace(value, **changed) if changed else value
    return value


def _same(one: object, other: object) -> bool:
    return one is other


def taken(value: Any, places: Values) -> Any:
    """What a value is for the plates at some places."""

    def of(column: Column) -> Any:
        values = column.values[places]
        return plain(values) if type(column) is Column else type(column)(values)

    return mapped(value, of)


def plain(values: Values) -> Any:
    """A column, or the one figure that all plates have."""
    return values[0].item() if (values == values[0]).all() else Column(values)
