"""Where in a TOML file a key stands: the parser tells values, not places, and people want the line."""

import re
import tomllib
from collections.abc import Iterator
from typing import Final

Path = tuple[str, ...]
"""A key from the root of a file; places of a list are numbers as text."""

_TABLE: Final = re.compile(r"\s*(\[\[|\[)([^\[\]]+)\]{1,2}\s*(?:#.*)?$")
_KEY: Final = re.compile(
    r"\s*((?:[A-Za-z0-9_-]+|\"[^\"]*\"|'[^']*')(?:\s*\.\s*(?:[A-Za-z0-9_-]+|\"[^\"]*\"|'[^']*'))*)\s*="
)


_TOKEN: Final = re.compile(
    r'"""(?:[^\\]|\\.)*?"{3,5}'
    r"|'''.*?'{3,5}"
    r'|"(?:[^"\\\n]|\\.)*"'
    r"|'[^'\n]*'"
    r"|\#[^\n]*|[\[{]|[\]}]|\n|\Z",
    re.DOTALL,
)
"""What decides where a statement ends: strings, comments, brackets and line ends."""


def key_lines(text: str) -> dict[Path, int]:
    """The line, counted from 1, of each table and of each key that begins a statement."""
    lines: dict[Path, int] = {}
    table: Path = ()
    seen: dict[Path, int] = {}
    for number, code, _ in statements(text):
        head = head_of(code)
        if head is None:
            continue
        if code.startswith("[["):
            seen[head] = seen.get(head, -1) + 1
            table = (*head, str(seen[head]))
            lines.setdefault(table, number)
        elif code.startswith("["):
            table = head
            lines.setdefault(table, number)
        else:
            lines.setdefault((*table, *head), number)
    return lines


def head_of(code: str) -> Path | None:
    """The table that a statement opens, or the key that it sets; None where it does neither."""
    first = code.partition("\n")[0]
    match = _TABLE.match(first)
    if match:
        return _steps(match[2])
    match = _KEY.match(first)
    return _steps(match[1]) if match else None


def statements(text: str) -> Iterator[tuple[int, str, list[str]]]:
    """Each statement, header, comment line or blank line: its line, its code before any comment, and its comments."""
    text = text.replace("\r\n", "\n")
    start, depth, end, number, ends = 0, 0, -1, 1, 0
    notes: list[str] = []
    for token in _TOKEN.finditer(text):
        sign = token[0][:1]
        ends += token[0].count("\n")
        if sign == "#":
            notes.append(token[0][1:].removeprefix(" ").rstrip())
            end = token.start() if end < 0 else end
        elif sign in ("[", "{"):
            depth += 1
        elif sign in ("]", "}"):
            depth -= 1
        elif sign in ("\n", "") and depth <= 0:
            yield number, text[start : token.start() if end < 0 else end].strip(), notes
            start, depth, end, notes = token.end(), 0, -1, []
            number = ends + 1


def _steps(dotted: str) -> Path:
    """The parts of a dotted key, unquoted as TOML does."""
    made: object = tomllib.loads(f"{dotted} = 0")
    steps: list[str] = []
    while isinstance(made, dict):
        ((step, made),) = made.items()
        steps.append(step)
    return tuple(steps)


def nearest(lines: dict[Path, int], path: Path) -> int:
    """The line of a key, or of the nearest key around it; 1 where nothing is known of it."""
    while path and path not in lines:
        path = path[:-1]
    return lines.get(path, 1)
