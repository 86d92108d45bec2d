"""A figure of many plates: one column of a table, which stands where a formula expects a number.

Arithmetic on float64 and int64 gives, element by element, what Python's floats and ints give: both are IEEE 754, and
whole numbers are kept below the bounds of 64 bits. What has no such counterpart (powers) is done plate by plate.
"""

import operator
from collections.abc import Callable
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from tallyplate.columns.parting import Parted, Unhashable

Values = npt.NDArray[Any]

MOST: Final = 2**62
"""Beyond any whole number that is kept in a column."""

TEXT: Final = "..."
"""What a column is as text: nobody reads the texts of many plates at once."""


class Column:
    """A figure of many plates, or for each of them whether something holds of it."""

    __slots__ = ("values",)

    def __init__(self, values: Values) -> None:
        self.values = values

    def parted(self) -> Parted:
        """The plates, parted by their figures."""
        _, which = np.unique(self.values, return_inverse=True)
        order = np.argsort(which, kind="stable")
        return Parted(tuple(np.split(order, np.flatnonzero(np.diff(which[order])) + 1)))

    def one(self) -> Any:
        """The figure that all plates share; they part where they share none."""
        first = self.values[0]
        if (self.values != first).any():
            raise self.parted()
        return first.item()

    def __bool__(self) -> bool:
        held = self.values if self.values.dtype == bool else self.values != 0
        holding = int(np.count_nonzero(held))
        if 0 < holding < len(held):
            raise Parted((np.flatnonzero(held), np.flatnonzero(~held)))
        return holding > 0

    def __hash__(self) -> int:
        message = "a column of figures is no key"
        raise Unhashable(message)

    def __float__(self) -> float:
        return float(self.one())

    def __int__(self) -> int:
        return int(self.one())

    def __index__(self) -> int:
        return operator.index(self.one())

    def __str__(self) -> str:
        return TEXT

    def __format__(self, _: str) -> str:
        return TEXT

    def _floored(self, found: Values) -> "Column":
        if not (np.abs(found) < MOST).all():
            message = "a whole number beyond 64 bits"
            raise OverflowError(message)
        return Column(found.astype(np.int64))

    def __floor__(self) -> "Column":
        return self if self.values.dtype.kind == "i" else self._floored(np.floor(self.values))

    def __ceil__(self) -> "Column":
        return self if self.values.dtype.kind == "i" else self._floored(np.ceil(self.values))

    def __trunc__(self) -> "Column":
        return self if self.values.dtype.kind == "i" else self._floored(np.trunc(self.values))

    def __abs__(self) -> "Column":
        return Column(np.abs(self.values))

    def __neg__(self) -> "Column":
        return Column(-self.values)

    def __pos__(self) -> "Column":
        return Column(self.values)


class Lengths(Column):
    """A length of many plates, as callers give it."""

    __slots__ = ()
    text: Final = TEXT

    @property
    def mm(self) -> Column:
        """The plain figures."""
        return Column(self.values)


Method = Callable[[Column, Any], Any]


def _values(other: object) -> Any:
    """What stands on the other side of an operator, or nothing where it is no figure."""
    if isinstance(other, Column):
        return other.values
    return other if isinstance(other, (int, float)) else None


def _by(function: Callable[[Any, Any], Any], *, turned: bool = False) -> Method:
    def method(self: Column, other: object) -> Any:
        values = _values(other)
        if values is None:
            return NotImplemented
        return Column(function(values, self.values) if turned else function(self.values, values))

    return method


def _times(one: Any, other: Any) -> Any:
    if _whole(one) and _whole(other) and _most(one) * _most(other) >= MOST:
        message = "a product beyond 64 bits"
        raise OverflowError(message)
    return np.multiply(one, other)


def _whole(values: Any) -> bool:
    return isinstance(values, int) or (isinstance(values, np.ndarray) and values.dtype.kind in "ib")


def _most(values: Any) -> int:
    return abs(values) if isinstance(values, int) else int(np.abs(values).max())


def _divided(function: Callable[[Any, Any], Any]) -> Callable[[Any, Any], Any]:
    def by(one: Any, other: Any) -> Any:
        if not np.all(other):
            message = "a column divided by nothing"
            raise ZeroDivisionError(message)
        return function(one, other)

    return by


def _power(one: Any, other: Any) -> Any:
    if isinstance(one, np.ndarray) and isinstance(other, int):
        return np.array([value**other for value in one.tolist()])
    message = "a power of a column that is no whole number"
    raise TypeError(message)


_ARITHMETIC: Final[dict[str, Callable[[Any, Any], Any]]] = {
    "add": np.add,
    "sub": np.subtract,
    "mul": _times,
    "truediv": _divided(np.true_divide),
    "floordiv": _divided(np.floor_divide),
    "mod": _divided(np.remainder),
    "pow": _power,
}

for _name, _function in _ARITHMETIC.items():
    setattr(Column, f"__{_name}__", _by(_function))
    setattr(Column, f"__r{_name}__", _by(_function, turned=True))
for _compared in (operator.eq, operator.ne, operator.lt, operator.le, operator.gt, operator.ge):
    setattr(Column, f"__{_compared.__name__}__", _by(_compared))


def chosen(where: Any, one: Any, other: Any) -> Any:
    """For each plate one of two figures."""
    return Column(np.where(where.values, _values(one), _values(other)))
