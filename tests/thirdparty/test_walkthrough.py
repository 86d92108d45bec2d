"""The page for plugin authors: each command and file on it, run in order where nothing else is installed."""

import os
import re
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tallyplate import contract
from tests.plates import ROOT
from tests.serving import free_port
from tests.thirdparty import clean
from tests.thirdparty.walkthrough import Run, Write, agrees, script, seen, steps

PAGE = (ROOT / "plugins" / "README.md").read_text()

LONGEST = 600
"""Seconds after which the walk is given up."""


@pytest.mark.slow
def test_a_newcomer_who_follows_the_page_sees_what_it_says(tmp_path: Path) -> None:
    home, programs, linked, work = (_made(tmp_path / name) for name in ("home", "programs", "linked", "work"))
    (home / "tallyplate").symlink_to(ROOT)
    python = programs / "python3"
    base = Path(sys.base_prefix, "bin", f"python{sys.version_info.major}.{sys.version_info.minor}")
    python.write_text(f'#!/bin/sh\nexec {base} "$@"\n')
    python.chmod(0o755)
    # What a newcomer's pip would fetch is there already; and it builds in place, which saves an environment a build.
    clean.link(linked, clean.SERVICE, "hatchling")
    fetched = {"PYTHONPATH": str(linked), "PIP_NO_BUILD_ISOLATION": "0"}
    page = PAGE.replace("8080", str(free_port()))
    walk = subprocess.Popen(
        ["bash", "-c", script(page)],
        cwd=work,
        env={**clean.alone(programs), **fetched, "HOME": str(home)},
        stdout=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    try:
        output, _ = walk.communicate(timeout=LONGEST)
    finally:
        # Whatever the page started ends with it, the service too where a step before its end went wrong.
        _end(walk.pid)
    walked, became = list(steps(page)), seen(output)
    for number, step in enumerate(walked):
        told = f"$ {step.command}" if isinstance(step, Run) else step.path
        assert number in became, f"{told}\nwas not reached:\n{output[-2000:]}"
        one = became[number]
        assert agrees(step.printed if isinstance(step, Run) else "", one.printed), f"{told}\n{one.printed}"
        # A page that shows a failure asks for its exit code next.
        fails = number + 1 < len(walked) and walked[number + 1] == Run("echo $?", f"{one.code}\n")
        assert one.code == 0 or fails, f"{told}\nended with {one.code}:\n{one.printed}"


def _made(folder: Path) -> Path:
    folder.mkdir()
    return folder


def _end(group: int) -> None:
    try:
        os.killpg(group, signal.SIGKILL)
    except ProcessLookupError:
        return


def test_the_page_has_commands_and_files_and_every_block_is_one_of_them() -> None:
    found = list(steps(PAGE))
    assert len([step for step in found if isinstance(step, Run)]) > 10
    assert len([step for step in found if isinstance(step, Write)]) > 5
    assert PAGE.count("```") == 2 * len(re.findall(r"^```\w+$", PAGE, re.MULTILINE))


@pytest.mark.parametrize(
    ("said", "printed", "same"),
    [
        ("a  b\n", "a b", True),
        ("...\n2 passed in ...\n", "dots\n12 passed in 3 s\n", True),
        ("a ... c\n", "a b b c", True),
        ("total 5.00\n", "total 5.01\n", False),
        ("total 5.00\n", "", False),
        ("", "Traceback", False),
        ("a.c\n", "abc\n", False),
    ],
)
def test_what_is_printed_is_held_to_what_is_said(said: str, printed: str, same: bool) -> None:
    assert agrees(said, printed) is same


def test_a_block_that_belongs_to_no_file_is_no_step() -> None:
    with pytest.raises(ValueError, match="no file is named above the block"):
        list(steps("Some text.\n\n```python\nprint()\n```\n"))


def test_every_name_that_the_page_lists_is_in_the_contract() -> None:
    given, _, must = PAGE.partition("### What a family gives")[2].partition("### What it must keep")
    rows = re.findall(r"^\| (`.*?) \|", given, re.MULTILINE)
    names = {name for row in rows for name in re.findall(r"`(\w+)`", row)}
    assert must
    assert len(names) > 50
    assert names <= set(contract.__all__)
