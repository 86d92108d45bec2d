"""Where in a TOML file a key stands: the parser tells values, not places, and people want the line."""

import re
import tomllib
from typing import Final

Path = tuple[str, ...]
"""A key from the root of a file; places of a list are numbers as text."""

_TABLE: Final = re.compile(r"\s*(\[\[|\[)([^\[\]]+)\]{1,2}\s*(?:#.*)?$")
_KEY: Final = re.compile(
    r"\s*((?:[A-Za-z0-9_-]+|\"[^\"]*\"|'[^']*')(?:\s*\.\s*(?:[A-Za-z0-9_-]+|\"[^\"]*\"|'[^']*'))*)\s*="
)


def key_lines(text: str) -> dict[Path, int]:
    """The line, counted from 1, of each table and of each key that begins a line."""
    lines: dict[Path, int] = {}
    table: Path = ()
    seen: dict[Path, int] = {}
    for number, line in enumerate(text.splitlines(), start=1):
        header = _TABLE.match(line)
        if header:
            table = _steps(header[2])
            if header[1] == "[[":
                seen[table] = seen.get(table, -1) + 1
                table = (*table, str(seen[table]))
            lines.setdefault(table, number)
            continue
        key = _KEY.match(line)
        if key:
            lines.setdefault((*table, *_steps(key[1])), number)
    return lines


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
