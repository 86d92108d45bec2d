"""A page of commands and files, as a script that runs them in order and tells what each command printed."""

import re
from collections.abc import Iterator
from typing import Final

from msgspec import Struct

FENCE: Final = re.compile(r"^```(\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)

MARK: Final = "@@@"
"""Stands before the number of a step, and what its command ended with, after what it printed."""


class Seen(Struct, frozen=True):
    """What a step printed, and the exit code that it ended with."""

    printed: str
    code: int


class Write(Struct, frozen=True):
    """A file to write: the path is named on the line above its block."""

    path: str
    text: str


class Run(Struct, frozen=True):
    """A command to run, and what it is said to print."""

    command: str
    printed: str


def steps(page: str) -> Iterator[Write | Run]:
    """Every step of a page; raises `ValueError` for a block of which nobody could tell what to do with it."""
    for fence in FENCE.finditer(page):
        kind, text = fence.groups()
        if kind == "console":
            for one in re.split(r"^\$ ", text, flags=re.MULTILINE)[1:]:
                yield Run(*one.partition("\n")[::2])
            continue
        named = re.search(r"`([^`\n]+)`:\n\n\Z", page[: fence.start()])
        if not named:
            message = f"no file is named above the block {text[:60]!r}"
            raise ValueError(message)
        yield Write(named[1], text)


def script(page: str) -> str:
    """All steps for bash, with a mark after each; a step finds the exit code of the one before as a reader would."""
    lines = ["exec 2>&1"]
    for number, step in enumerate(steps(page)):
        if isinstance(step, Run):
            lines.append(step.command)
        else:
            lines += [f"cat > {step.path} << '{MARK}'", step.text.rstrip("\n"), MARK]
        lines.append(f"code=$?; printf '\\n{MARK}{number} %s\\n' $code; (exit $code)")
    return "\n".join([*lines, ""])


def seen(output: str) -> dict[int, Seen]:
    """What became of each step, by its number."""
    parts = re.split(rf"^{MARK}(\d+) (\d+)\n", output, flags=re.MULTILINE)
    return {int(parts[at + 1]): Seen(parts[at], int(parts[at + 2])) for at in range(0, len(parts) - 1, 3)}


def agrees(said: str, seen: str) -> bool:
    """Whether a command printed what it is said to; `...` stands for anything, and blanks count as one."""
    pattern = r"(?s:.*)".join(re.escape(" ".join(part.split())) for part in said.split("..."))
    blanks = pattern.replace(r"\ ", " ").replace(" ", r"\s+")
    return re.fullmatch(rf"\s*{blanks}\s*", seen) is not None
