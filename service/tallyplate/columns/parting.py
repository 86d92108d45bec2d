"""Where plates that are asked about at once part, and functions that do not mind.

A formula that is given a `Column` in place of a figure works for many plates at once. Where it asks a question of a
column that has not one answer (is it below a limit, how many holes are there to count), the plates part: `Parted` ends
the call, and the call is made again for each part. Nothing here is met where one plate is priced.
"""

from collections.abc import Callable, Hashable
from functools import lru_cache, wraps
from math import hypot
from typing import Any, ParamSpec, TypeVar

Result = TypeVar("Result")
Key = TypeVar("Key", bound=Any)
Asked = ParamSpec("Asked")


class Parted(BaseException):
    """Plates that part: for each part, the places of its plates among all that were asked about.

    Not an `Exception`, since it is no failure of whoever happens to ask.
    """

    def __init__(self, parts: tuple[Any, ...]) -> None:
        super().__init__(f"plates part in {len(parts)}")
        self.parts = parts


class Unhashable(TypeError):  # noqa: N818 - named for what a column is
    """What is raised where a column would become a key: what is found under it would be taken for that of one plate."""


def _joining() -> Any:
    """What is done with columns, once there are any: its library may be absent where there are none."""
    from tallyplate.columns import joining  # noqa: PLC0415

    return joining


def remembered(most: int) -> Callable[[Callable[Asked, Result]], Callable[Asked, Result]]:
    """A pure function whose latest results are kept; of many plates, each is asked about by itself."""

    def around(function: Callable[Asked, Result]) -> Callable[Asked, Result]:
        kept: Any = lru_cache(maxsize=most)(function)

        @wraps(function)
        def asked(*args: Asked.args, **named: Asked.kwargs) -> Result:
            try:
                said: Result = kept(*args, **named)
            except Unhashable:
                said = _joining().each(kept, args, named)
            return said

        return asked

    return around


def apart(
    join: Callable[[list[tuple[Any, Any]]], Any],
) -> Callable[[Callable[Asked, Result]], Callable[Asked, Result]]:
    """A function that is asked again for each part of plates that part, its answers joined by `join`."""

    def around(function: Callable[Asked, Result]) -> Callable[Asked, Result]:
        @wraps(function)
        def asked(*args: Asked.args, **named: Asked.kwargs) -> Result:
            try:
                return function(*args, **named)
            except Parted as parted:
                taken = _joining().taken
                found = [(part, asked(*taken(args, part), **taken(named, part))) for part in parted.parts]
                answer: Result = join(found)
                return answer

        return asked

    return around


def larger(one: float, other: float) -> float:
    """The larger of two figures, also of columns of them."""
    try:
        return max(one, other)
    except Parted:
        picked: float = _joining().chosen(other > one, other, one)
        return picked


def smaller(one: float, other: float) -> float:
    """The smaller of two figures, likewise."""
    try:
        return min(one, other)
    except Parted:
        picked: float = _joining().chosen(other < one, other, one)
        return picked


def distance(across: float, up: float) -> float:
    """The hypotenuse, also of columns."""
    try:
        return hypot(across, up)
    except Parted:
        measured: float = _joining().each(hypot, (across, up), {})
        return measured


def number_of(some: tuple[Any, ...]) -> int:
    """How many there are in a sequence, also where plates have different numbers of them."""
    return some.number if hasattr(some, "number") else len(some)


def each_once(some: tuple[Key, ...]) -> tuple[Key, ...]:
    """A sequence in order, each of it once."""
    return some if hasattr(some, "number") else tuple(sorted({*some}))


def told_of(name: str, some: tuple[Key, ...]) -> Any:
    """A sequence with a name before each of it."""
    return some if hasattr(some, "number") else tuple([(name, one) for one in some])


def union(key: Callable[[Any], Hashable], figures: tuple[str, ...]) -> Callable[[list[tuple[Any, Any]]], Any]:
    """How `apart` joins sequences of structs: like ones as one, whose `figures` are nothing where a plate has none.

    Like are those with the same key, the first with the first and the second with the second.
    """

    def join(found: list[tuple[Any, Any]]) -> Any:
        return _joining().united(found, key, figures)

    return join
