"""How much work a function does: lines of Python run and functions entered, which no clock can blur."""

import gc
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType
from typing import Any


@contextmanager
def undisturbed() -> Iterator[None]:
    """Without garbage collection, which runs the code of others (finalizers, callbacks) in the midst of a plugin's."""
    enabled = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if enabled:
            gc.enable()


def steps(function: Callable[[], object]) -> int:
    """Lines run and calls made until a function returns; raises what it raises. What C code does is not counted."""
    count = 0

    def told(frame: FrameType, event: str, argument: Any) -> Any:  # noqa: ANN401, ARG001 - set by the interpreter
        nonlocal count
        count += event in {"call", "line"}
        return told

    before = sys.gettrace()
    with undisturbed():
        sys.settrace(told)
        try:
            function()
        finally:
            sys.settrace(before)
    return count
