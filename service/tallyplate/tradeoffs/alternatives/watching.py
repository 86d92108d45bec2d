"""A build that tells what was read of it, so that an answer can be kept for every build that agrees in just that."""

import operator
from collections.abc import Callable
from functools import lru_cache
from operator import attrgetter
from types import MethodType
from typing import Any, Final, NamedTuple

from msgspec import Struct

from tallyplate.contract import Build


class Feature(NamedTuple):
    """What is read of a build: the attribute at a path, or how the number there compares with another.

    An empty path is the whole build.
    """

    path: tuple[str, ...]
    comparison: str = ""
    other: float = 0.0

    @property
    def root(self) -> str:
        """The attribute of the build that it is of; empty for the whole."""
        return self.path[0] if self.path else ""

    def getter(self) -> Callable[[Build], Any]:
        """What reads it of a build."""
        if not self.path:
            return _itself
        read = attrgetter(".".join(self.path))
        if not self.comparison:
            return read
        compare, other = COMPARISONS[self.comparison], self.other
        return lambda build: compare(read(build), other)


def _itself(build: Build) -> Build:
    return build


COMPARISONS: Final[dict[str, Callable[[Any, Any], bool]]] = {
    name: getattr(operator, name) for name in ("lt", "le", "gt", "ge", "eq", "ne")
}

WHOLE: Final = Feature(())

Note = Callable[[Feature], None]
"""Told of every feature that is read."""


@lru_cache(maxsize=1024)
def _feature(path: tuple[str, ...]) -> Feature:
    """The attribute at a path; remembered, since all builds have the same few."""
    return Feature(path)


class View:
    """A build, or its body, blank or table, that notes what is read of it and is otherwise just like it."""

    def __init__(self, of: Struct, note: Note, path: tuple[str, ...] = ()) -> None:
        self._of, self._note, self._path = of, note, path

    @property  # type: ignore[misc]  # it passes for what it watches
    def __class__(self) -> type:
        return type(self._of)

    def __getattr__(self, name: str) -> Any:  # noqa: ANN401 - any attribute
        """Read an attribute for the first time; it is kept, so that the next time finds it without coming here."""
        value, path = getattr(self._of, name), (*self._path, name)
        if isinstance(value, MethodType):
            value = MethodType(value.__func__, self)
        elif not self._path and isinstance(value, Struct):
            value = View(value, self._note, path)
        elif not self._path and isinstance(value, float):
            value = Number(value, self._note, path)
        else:
            self._note(_feature(path))
        self.__dict__[name] = value
        return value


class Number:
    """A number of a build that notes what it is compared with; any other use of it is noted as reading it."""

    __slots__ = ("_note", "_of", "_path")

    def __init__(self, of: float, note: Note, path: tuple[str, ...]) -> None:
        self._of, self._note, self._path = of, note, path

    @property  # type: ignore[misc]  # it passes for what it watches
    def __class__(self) -> type:
        return type(self._of)

    def __getattr__(self, name: str) -> Any:  # noqa: ANN401 - any attribute
        self._note(Feature((*self._path, name)))
        self._note(Feature(self._path))
        return getattr(self._of, name)


def _compared(name: str) -> Callable[[Number, Any], Any]:
    compare = COMPARISONS[name]

    def method(self: Number, other: Any) -> Any:  # noqa: ANN401 - as of the number itself
        if issubclass(type(other), float | int):
            self._note(Feature(self._path, name, float(other)))
        else:
            self._note(Feature(self._path))
        return compare(self._of, other)

    return method


def _read(name: str) -> Callable[..., Any]:
    def method(self: View | Number, *others: Any) -> Any:  # noqa: ANN401 - as of the value itself
        value = getattr(self._of, f"__{name}__")(*others)
        self._note(Feature(self._path))
        return value

    return method


READINGS: Final = (
    "hash", "bool", "str", "repr", "format", "int", "float", "round", "trunc", "floor", "ceil", "neg", "pos", "abs",
    "add", "sub", "mul", "truediv", "floordiv", "mod", "divmod", "pow", "radd", "rsub", "rmul", "rtruediv",
    "rfloordiv", "rmod", "rdivmod", "rpow", "reduce_ex",
)  # fmt: skip
"""What a number answers to besides comparisons, without the underscores."""

for _name in READINGS:
    setattr(Number, f"__{_name}__", _read(_name))
for _name in COMPARISONS:
    setattr(Number, f"__{_name}__", _compared(_name))
for _name in ("hash", "eq", "ne", "str", "repr", "format", "reduce_ex"):
    setattr(View, f"__{_name}__", _read(_name))
