"""Watching a plugin work: every function that it reaches is held against a table of what must not be used.

Nothing is replaced: the interpreter tells of each call (`sys.setprofile`). What C code calls in its turn is not told.
"""

import io
import os
import random
import sys
from collections.abc import Callable
from datetime import date
from enum import Enum
from pathlib import Path
from types import FrameType
from typing import Any, Final, NamedTuple

from tallyplate.testkit.counting import undisturbed

CLOCKS: Final = frozenset((
    "time", "time_ns", "monotonic", "monotonic_ns", "perf_counter", "perf_counter_ns", "process_time",
    "process_time_ns", "thread_time", "thread_time_ns", "clock_gettime", "clock_gettime_ns", "sleep", "localtime",
    "gmtime", "ctime", "asctime", "strftime",
))  # fmt: skip
TODAY: Final = frozenset(("now", "today", "utcnow"))
CHANCE: Final = frozenset(("urandom", "getrandom"))
SYSTEM: Final = frozenset(
    ("posix", "nt", "_socket", "_posixsubprocess", "_winapi", "mmap", "fcntl", "select", "_thread")
)
"""Modules in C that reach the operating system."""
HARMLESS: Final = frozenset(("fspath", "allocate_lock", "get_ident", "RLock"))
"""Functions of those that only look at memory."""


class Reached(Enum):
    """What a plugin must not reach while it works, in words."""

    CLOCK = "the clock"
    CHANCE = "random numbers"
    ENVIRONMENT = "the environment"
    OUTSIDE = "a file, a device or the network"


ENVIRONMENT: Final = frozenset(
    method.__code__ for method in (type(os.environ).__getitem__, type(os.environ).__iter__, type(os.environ).__len__)
)


class Seen(NamedTuple):
    """What was reached, by calling what, from where in the plugin: `time.time`, `tray.py line 41`."""

    reached: Reached
    called: str
    where: str


class Watch:
    """What was seen while functions ran: forbidden calls, and the modules of the plugin's package that were entered."""

    def __init__(self, package: str) -> None:
        self.package = package
        self.seen: list[Seen] = []
        self.entered: set[str] = set()

    def run(self, function: Callable[[], object]) -> object:
        """The function's answer, or the exception that it raised."""
        before = sys.getprofile()
        with undisturbed():
            sys.setprofile(self._told)
            try:
                return function()
            except Exception as error:  # noqa: BLE001 - what a plugin raises is looked at by other checks
                return error
            finally:
                sys.setprofile(before)

    def _told(self, frame: FrameType, event: str, argument: Any) -> None:  # noqa: ANN401 - set by the interpreter
        if event == "call":
            self.entered.add(frame.f_globals.get("__name__", ""))
            if frame.f_code in ENVIRONMENT:
                self._note(Reached.ENVIRONMENT, "os.environ", frame)
        elif event == "c_call" and (reached := forbidden(argument)):
            self._note(reached, _name(argument), frame)

    def _note(self, reached: Reached, called: str, frame: FrameType | None) -> None:
        """Note a call by the last function that the plugin itself called, unless a module is being imported."""
        first = frame
        while frame and not self._own(frame):
            if frame.f_globals.get("__name__", "").startswith("importlib._bootstrap"):
                return
            if reached is not Reached.ENVIRONMENT:
                called = f"{frame.f_globals.get('__name__', '')}.{frame.f_code.co_qualname}"
            frame = frame.f_back
        at = frame or first
        where = f"{Path(at.f_code.co_filename).name} line {at.f_lineno}" if at else "an unknown place"
        self.seen.append(Seen(reached, called, where))

    def _own(self, frame: FrameType) -> bool:
        return str(frame.f_globals.get("__name__", "")).partition(".")[0] == self.package


def forbidden(function: Any) -> Reached | None:  # noqa: ANN401 - any function written in C
    """What a function written in C reaches that it must not; None for all others."""
    owner, module = getattr(function, "__self__", None), getattr(function, "__module__", None)
    name = getattr(function, "__name__", "")
    if (module == "time" and name in CLOCKS) or (isinstance(owner, type) and issubclass(owner, date) and name in TODAY):
        return Reached.CLOCK
    if owner is random.random.__self__ or (module in SYSTEM and name in CHANCE):  # type: ignore[attr-defined]
        return Reached.CHANCE
    if module in SYSTEM and name not in HARMLESS:
        return Reached.OUTSIDE
    on_disk = isinstance(owner, io.IOBase) and not isinstance(owner, io.StringIO | io.BytesIO)
    opened = (module in {"io", "_io"} and name.startswith("open")) or type(owner).__module__ == "_socket"
    spoken = module == "builtins" and name in {"print", "input"}
    return Reached.OUTSIDE if on_disk or opened or spoken else None


def _name(function: Any) -> str:  # noqa: ANN401 - any function written in C
    """A function as one would write it: `time.time`, `datetime.datetime.now`."""
    owner = getattr(function, "__self__", None)
    kind = owner if isinstance(owner, type) else type(owner)
    module = function.__module__ or kind.__module__
    return f"{module}.{function.__qualname__}"
