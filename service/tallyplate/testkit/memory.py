"""What a module remembers: its globals looked at before and after, as deep as data go."""

import sys
from collections.abc import Iterable, Iterator
from types import FunctionType, ModuleType
from typing import Any, Final

from msgspec import Struct

DEEPEST: Final = 8
"""Containers within containers that are followed."""
Remembered = dict[tuple[str, str], object]


def remembered(modules: Iterable[str]) -> Remembered:
    """What each global of some modules holds, by module and name, so that two such can be compared."""
    held: Remembered = {}
    for name in modules:
        module = sys.modules.get(name)
        for key, value in list(vars(module).items()) if module else ():
            if not key.startswith("__") and not isinstance(value, ModuleType):
                held[name, key] = _told(value, name, DEEPEST)
    return held


def changed(before: Remembered, after: Remembered) -> Iterator[tuple[str, str]]:
    """The module and name of every global that another value was put in, or that changed within."""
    yield from (key for key in {**before, **after} if before.get(key) != after.get(key))


def _told(value: Any, module: str, depth: int) -> object:  # noqa: ANN401 - whatever a module holds
    """A value as plain data that compare; whatever is neither data nor of the module by its repr."""
    if depth == 0 or isinstance(value, str | bytes | int | float | None):
        return repr(value)
    parts: Iterable[object] | None = None
    if isinstance(value, dict):
        parts = [part for pair in value.items() for part in pair]
    elif isinstance(value, list | tuple):
        parts = value
    elif isinstance(value, set | frozenset):
        return frozenset(repr(part) for part in value)
    elif isinstance(value, Struct):
        parts = [getattr(value, name) for name in value.__struct_fields__]
    elif _has_attributes(value, module):
        parts = [part for pair in vars(value).items() if not pair[0].startswith("__") for part in pair]
    if parts is None:
        return repr(value)
    return type(value).__name__, tuple(_told(part, module, depth - 1) for part in parts)


def _has_attributes(value: Any, module: str) -> bool:  # noqa: ANN401 - whatever a module holds
    """Whether a function, class or object is one of the module's, whose attributes may remember something."""
    owner = value if isinstance(value, type | FunctionType) else type(value)
    return getattr(owner, "__module__", None) == module and hasattr(value, "__dict__")
