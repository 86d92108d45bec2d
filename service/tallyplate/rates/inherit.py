"""Cards that state only what they change: a file names the one that it inherits the rest from.

Tables are merged key by key; a value or a list replaces the one before. What is resolved no longer says that it
inherited, so that a card written out in full and one that inherits the same figures are the same card.
"""

from collections.abc import Mapping
from typing import Any

from msgspec import Struct

from tallyplate.rates.lines import Path

INHERITS = "inherits"


class Written(Struct, frozen=True):
    """A file as it was written: its name, what it says, and on which line."""

    file: str
    data: dict[str, Any]
    lines: dict[Path, int]


class Resolved(Struct, frozen=True):
    """What a file says together with all that it inherits, and which file each figure is from."""

    file: str
    data: dict[str, Any]
    origins: dict[Path, Written]

    def origin(self, path: Path) -> Written:
        """The file that states a key, or the nearest key around it that any file states."""
        while path and path not in self.origins:
            path = path[:-1]
        return self.origins[path]


def resolve(written: Mapping[str, Written]) -> tuple[dict[str, Resolved], list[str]]:
    """Every file resolved, by id, and a problem for each that cannot be: parents that are absent or go in a circle."""
    resolved: dict[str, Resolved] = {}
    problems: list[str] = []
    for name in written:
        chain, problem = _chain(name, written)
        if problem:
            problems.append(problem)
            continue
        data: dict[str, Any] = {}
        origins: dict[Path, Written] = {}
        for one in reversed(chain):
            _lay_over(data, one.data, one, origins, ())
        data.pop(INHERITS, None)
        resolved[name] = Resolved(written[name].file, data, origins)
    return resolved, problems


def laid_under(one: Resolved, fragment: Written) -> Resolved:
    """What a file says, and where it says nothing, what a fragment does."""
    data: dict[str, Any] = {}
    origins: dict[Path, Written] = {}
    _lay_over(data, fragment.data, fragment, origins, ())
    own: dict[Path, Written] = {}
    _lay_over(data, one.data, one.origins[()], own, ())
    return Resolved(one.file, data, {**origins, **{path: one.origin(path) for path in own}})


def _chain(name: str, written: Mapping[str, Written]) -> tuple[list[Written], str]:
    """A file and its ancestors, nearest first; or what is wrong with them."""
    chain: list[Written] = []
    wanted: Any = name
    while wanted is not None:
        one = written.get(wanted) if isinstance(wanted, str) else None
        last = chain[-1].file if chain else ""
        if one is None:
            return [], f"{last}: {INHERITS}: {wanted!r} is not here; accepted: {', '.join(sorted(written))}"
        if one in chain:
            return [], f"{written[name].file}: {INHERITS}: goes in a circle through {last}"
        chain.append(one)
        wanted = one.data.get(INHERITS)
    return chain, ""


def _lay_over(
    base: dict[str, Any], above: dict[str, Any], source: Written, origins: dict[Path, Written], path: Path
) -> None:
    origins[path] = source
    for key, value in above.items():
        here = (*path, key)
        if isinstance(value, dict):
            inner = base.get(key)
            base[key] = inner if isinstance(inner, dict) else {}
            _lay_over(base[key], value, source, origins, here)
        else:
            base[key] = value
            origins[here] = source
