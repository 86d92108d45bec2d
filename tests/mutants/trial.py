"""One mutant tried: written into a copy of the sources, and the tests run on it in a process of its own."""

import os
import resource
import shutil
import signal
import sys
from collections.abc import Sequence
from functools import cache
from importlib import import_module
from math import ceil
from multiprocessing import get_context
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Final, NamedTuple

import pytest
from hypothesis import HealthCheck, is_hypothesis_test, settings

from tests.mutants.changes import Mutant

COPIED: Final = ("service", "plugins", "tests", "openapi", "pyproject.toml", "README.md")
NEAREST: Final = {
    "/charging.py": ("tests/test_pricing.py", "tests/columns/test_charges.py"),
    "/contract/holes.py": ("tests/costs/test_standard_holes.py",),
    "/lattice.py": ("tests/test_lattice.py", "tests/test_left_out.py", "tests/costs/test_lattice_corners.py"),
    "/money.py": ("tests/test_money.py",),
    "/pricing.py": ("tests/test_pricing.py",),
    "/machining.py": ("tests/costs/test_cycles.py",),
}
"""The tests nearest to a file, which kill most of its mutants in a second; for the rest, `tests/costs`."""

SELECTIONS: Final = (
    (
        "tests/test_money.py",
        "tests/test_lattice.py",
        "tests/test_left_out.py",
        "tests/contract",
        "tests/costs",
        "tests/reference",
    ),
    ("tests/test_pricing.py", "tests/laws"),
)
"""Fast tests first. The laws' tests of themselves and of other processes see no mutant that the rest does not."""
LEFT_OUT: Final = ("test_replay.py", "test_strategies.py", "test_plugins.py")

LIBRARIES: Final = ("httpx", "iso4217", "msgspec", "pint", "pressfit", "screw_thread_lib", "shapely")
"""Imported once, before the processes part; nothing of the project is, so each has its own."""

MEMORY: Final = 4 * 1024**3
"""Bytes; a mutant that asks for more, or for five times as much time as the genuine sources, is killed."""
SPARE: Final = 10
"""Seconds of the processor besides; of the clock it may be many more where others are at work."""
NOT_THE_COPY: Final = 70
PASSED: Final = (pytest.ExitCode.OK, pytest.ExitCode.NO_TESTS_COLLECTED)
FORK: Final = get_context("fork")

settings.register_profile(
    "mutants",
    deadline=None,  # a slow machine kills no mutant
    suppress_health_check=[HealthCheck.too_slow],
    max_examples=10,
    derandomize=True,
    database=None,
)


class Observer:
    """Keeps the ids of tests that fail, and holds properties to a few examples whatever they ask for."""

    def __init__(self) -> None:
        self.ids: list[str] = []

    def pytest_itemcollected(self, item: pytest.Item) -> None:
        """Called by pytest."""
        test = getattr(item, "obj", None)
        if test is not None and is_hypothesis_test(test):
            test._hypothesis_internal_use_settings = settings.get_profile("mutants")

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Called by pytest."""
        if report.failed:
            self.ids.append(report.nodeid)


def copy_sources(root: Path, into: Path) -> None:
    """All that the tests need."""
    into.mkdir()
    for name in COPIED:
        if (root / name).is_dir():
            shutil.copytree(root / name, into / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(root / name, into)


def run(copy: Path, tests: Sequence[str], known: Sequence[str], limit: int | None) -> tuple[bool, list[str]]:
    """Whether the tests pass on a copy, and the ids of those that fail; `known` ones are not run.

    Genuine sources have no time limit, and all tests are run; on a mutant the first that fails is the last.
    """
    receiver, sender = FORK.Pipe(duplex=False)
    child = FORK.Process(target=_tests, args=(copy, [*tests], [*known], limit, sender))
    child.start()
    child.join(limit and 50 * limit)
    if child.exitcode is None and child.pid:
        os.killpg(child.pid, signal.SIGKILL)
        child.join()
    if child.exitcode == NOT_THE_COPY:
        message = f"the tests would not import the copy in {copy}"
        raise RuntimeError(message)
    return child.exitcode in PASSED, receiver.recv() if receiver.poll() else []


def _tests(copy: Path, tests: list[str], known: list[str], limit: int | None, sender: Connection) -> None:
    os.setpgrp()
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    if limit is not None:
        resource.setrlimit(resource.RLIMIT_CPU, (limit, limit))
        silent = os.open(os.devnull, os.O_WRONLY)
        os.dup2(silent, 1)
        os.dup2(silent, 2)
    os.chdir(copy)
    sys.path[:0] = [str(copy / "service"), str(copy / "plugins"), str(copy)]
    os.environ |= {"CI": "1", "PYTHONPATH": os.pathsep.join(sys.path[:3]), "PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1"}
    # A mutant's bytecode is never written: two mutants of one size and second could not be told apart.
    sys.dont_write_bytecode = limit is not None
    for loaded in [name for name in sys.modules if name.split(".")[0] == "tests"]:
        del sys.modules[loaded]
    import tallyplate  # noqa: PLC0415 - only here is the copy on the path
    import tallyplate_plugins  # noqa: PLC0415

    if not all(str(module.__file__).startswith(str(copy)) for module in (tallyplate, tallyplate_plugins)):
        os._exit(NOT_THE_COPY)
    observer = Observer()
    left_out = [f"--ignore=tests/laws/{name}" for name in LEFT_OUT]
    spared = [f"--deselect={test}" for test in known]
    options = ["-p", "_hypothesis_pytestplugin", "-p", "no:cacheprovider", "--assert=plain", "-q"]
    options.append("--hypothesis-profile=mutants")
    options.append("--tb=no" if limit is None else "-x")
    code = pytest.main([*options, *left_out, *spared, *tests], plugins=[observer])
    sender.send(observer.ids)
    os._exit(code)


def load_libraries() -> None:
    """What takes a second to import and is the same for every mutant."""
    for name in LIBRARIES:
        import_module(name)


class Trial(NamedTuple):
    """What mutants are tried by: genuine sources, and tests with the seconds of the processor that a mutant has."""

    base: Path
    selections: Sequence[tuple[Sequence[str], int]]
    known: Sequence[str]
    """Tests that fail on the genuine sources, and so can say nothing of a mutant."""
    nearest: bool

    @classmethod
    def of(cls, base: Path, selections: Sequence[Sequence[str]], *, nearest: bool) -> "Trial":
        """Run the tests on the genuine sources."""
        timed, known = [], []
        for tests in selections:
            before = resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime
            passed, ids = run(base, tests, (), None)
            took = resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime - before
            timed.append((tests, SPARE + ceil(5 * took)))
            known += ids
            if not passed and not ids:
                message = f"pytest cannot run {tests} on the sources as they are"
                raise RuntimeError(message)
        return cls(base, timed, known, nearest)

    def survives(self, mutant: Mutant) -> bool:
        """Whether all tests pass on a mutant, the nearest first."""
        copy, selections = _own_copy(self.base), [*self.selections]
        if self.nearest:
            near = next((tests for end, tests in NEAREST.items() if mutant.file.endswith(end)), ("tests/costs",))
            selections.insert(0, (near, SPARE))
        path = copy / mutant.file
        genuine = path.read_text()
        path.write_text(mutant.source)
        try:
            return all(run(copy, tests, self.known, limit)[0] for tests, limit in selections)
        finally:
            path.write_text(genuine)


@cache
def _own_copy(base: Path) -> Path:
    """This process's copy of the sources."""
    return shutil.copytree(base, base.with_name(f"copy-{os.getpid()}"))
