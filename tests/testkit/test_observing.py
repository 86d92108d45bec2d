"""What is taken for reaching outside, and what for harmless; what is noticed to have changed."""

import gc
import os
import random
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, date, datetime
from io import StringIO
from itertools import count
from math import sqrt
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from tallyplate.testkit.counting import steps
from tallyplate.testkit.memory import changed, remembered
from tallyplate.testkit.observing import Reached, Watch

CLOCK, CHANCE, ENVIRONMENT, OUTSIDE = Reached


@pytest.mark.parametrize(
    ("function", "reached", "called"),
    [
        (lambda: time.time() > 0, CLOCK, "time.time"),
        (lambda: time.monotonic_ns() > 0, CLOCK, "time.monotonic_ns"),
        (lambda: datetime.now(UTC), CLOCK, "datetime.datetime.now"),
        (lambda: date.today().year, CLOCK, "datetime.date.today"),  # noqa: DTZ011
        (lambda: random.random() < 1, CHANCE, "random.Random.random"),  # noqa: S311
        (lambda: random.randint(1, 6), CHANCE, "random.Random.randint"),  # noqa: S311
        (lambda: os.urandom(1), CHANCE, "posix.urandom"),
        (lambda: os.environ["PATH"], ENVIRONMENT, "os.environ"),
        (lambda: os.getenv("PATH"), ENVIRONMENT, "os.environ"),
        (lambda: Path(__file__).read_text(), OUTSIDE, "pathlib.Path.read_text"),
        (lambda: Path().exists(), OUTSIDE, "pathlib.Path.exists"),
        (lambda: os.listdir("."), OUTSIDE, "posix.listdir"),  # noqa: PTH208
        (lambda: print(end=""), OUTSIDE, "builtins.print"),
        (lambda: subprocess.run([sys.executable, "-c", ""], check=True), OUTSIDE, "subprocess.run"),
        (lambda: [socket.gethostname()], OUTSIDE, "_socket.gethostname"),
        (lambda: [tempfile.gettempdir()], OUTSIDE, "tempfile.gettempdir"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_what_reaches_outside_is_seen_by_the_name_that_was_called(
    function: Callable[[], Any], reached: Reached, called: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tempfile, "tempdir", None)
    watch = Watch("tests")
    watch.run(function)
    line = function.__code__.co_firstlineno
    assert (reached, called, f"test_observing.py line {line}") in watch.seen


def test_what_works_on_memory_alone_is_not_seen() -> None:
    watch = Watch("tests")
    harmless: tuple[Callable[[], Any], ...] = (
        lambda: sqrt(2),
        lambda: Path("a") / "b",
        lambda: StringIO().write("text"),
        lambda: random.Random(1).random(),  # noqa: S311 - of its own, from a seed
        lambda: datetime(2026, 1, 2, tzinfo=UTC).isoformat(),
        lambda: sorted({"a": 1}.items()),
    )
    for function in harmless:
        watch.run(function)
    assert watch.seen == []


def test_importing_a_module_reads_files_and_is_no_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delitem(sys.modules, "colorsys", raising=False)
    watch = Watch("tests")
    watch.run(lambda: __import__("colorsys"))
    assert watch.seen == []


def test_a_garbage_collection_in_the_midst_is_not_the_plugins_doing() -> None:
    before, watch = gc.get_threshold(), Watch("tests")
    gc.callbacks.append(lambda *_: time.time() and None)
    gc.set_threshold(1)
    try:
        watch.run(lambda: [[] for _ in range(100)])
    finally:
        gc.set_threshold(*before)
        gc.callbacks.pop()
    assert watch.seen == []
    assert gc.isenabled()


def test_whoever_watched_before_watches_again() -> None:
    def other(*_: Any) -> None:
        """A profiler."""

    sys.setprofile(other)
    try:
        Watch("tests").run(lambda: None)
        assert sys.getprofile() is other
    finally:
        sys.setprofile(None)


class Holder:
    """Something that holds something."""

    def __init__(self) -> None:
        self.held = [1]


Holder.__module__ = "remembering"


@pytest.fixture
def module(monkeypatch: pytest.MonkeyPatch) -> Any:
    """A module with a global of every kind."""
    made: Any = ModuleType("remembering")
    made.number, made.listed, made.nested, made.texts = 1, [1], {"a": [1]}, {"a"}
    made.counter, made.holder = count(), Holder()
    monkeypatch.setitem(sys.modules, "remembering", made)
    return made


@pytest.mark.parametrize(
    ("name", "change"),
    [
        ("number", lambda module: setattr(module, "number", 2)),
        ("listed", lambda module: module.listed.append(2)),
        ("nested", lambda module: module.nested["a"].append(2)),
        ("texts", lambda module: module.texts.add("b")),
        ("counter", lambda module: next(module.counter)),
        ("holder", lambda module: module.holder.held.append(2)),
        ("new", lambda module: setattr(module, "new", 1)),
    ],
)
def test_a_change_to_any_kind_of_global_is_noticed(module: Any, name: str, change: Callable[[Any], None]) -> None:
    before = remembered(["remembering"])
    assert list(changed(before, remembered(["remembering"]))) == []
    change(module)
    assert list(changed(before, remembered(["remembering"]))) == [("remembering", name)]


def test_work_is_counted_in_lines_the_same_every_time() -> None:
    def loop(times: int) -> int:
        return sum(1 for _ in range(times))

    few, many = steps(lambda: loop(10)), steps(lambda: loop(1000))
    assert few == steps(lambda: loop(10))
    assert many - few >= 990
