"""A card as TOML that people read: a table after the other, a key a line, small tables on one line, comments kept."""

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from tallyplate.rates.kinds import Place

WIDTH: Final = 110
"""Longest line, where it can be helped."""

Comments = Mapping[Place, str]


def document(data: Mapping[str, Any], comments: Comments) -> str:
    """A whole file; the comment of the root stands above all."""
    head = [*_said((), comments.get((), "")), ""]
    return "\n".join([*head, *_table((), data, comments)]).lstrip("\n") + "\n"


def dotted(place: Place) -> str:
    """A key as TOML writes it, with quotes where it needs them."""
    return ".".join(step if re.fullmatch(r"[A-Za-z0-9_-]+", step) else value(step) for step in map(str, place))


def value(node: Any) -> str:  # noqa: ANN401 - whatever TOML holds
    """A value on one line."""
    if isinstance(node, dict):
        inner = ", ".join(f"{dotted((key,))} = {value(item)}" for key, item in node.items())
        return f"{{ {inner} }}" if inner else "{}"
    if isinstance(node, list):
        return f"[{', '.join(map(value, node))}]"
    if isinstance(node, str):
        return json.dumps(node, ensure_ascii=False).replace("\x7f", r"\u007f")
    return str(node).lower() if isinstance(node, bool) else str(node)


def _table(here: Place, table: Mapping[str, Any], comments: Comments) -> Iterator[str]:
    """The lines of a table below its header: TOML wants its own keys before the tables in it."""
    tables = {key: inner for key, inner in table.items() if isinstance(inner, dict)}
    if here and all(_small((*here, key), inner, comments) for key, inner in tables.items()):
        tables = {}
    for key, node in table.items():
        if key not in tables:
            yield from _statement((*here, key), node, comments)
    for key, inner in tables.items():
        place = (*here, key)
        lines, comment = [*_table(place, inner, comments)], comments.get(place, "")
        # A table that holds nothing but tables goes without saying.
        if comment or not lines or lines[0]:
            yield from ("", *_said([f"[{dotted(place)}]"], comment))
        yield from lines


def _small(place: Place, table: Mapping[str, Any], comments: Comments) -> bool:
    """Whether a table can stand on one line."""
    flat = not any(isinstance(node, dict | list) for node in table.values())
    return flat and len(_line(place, table)) <= WIDTH and not any((*place, key) in comments for key in table)


def _statement(place: Place, node: object, comments: Comments) -> Iterator[str]:
    lines = [_line(place, node)]
    if isinstance(node, list) and (len(lines[0]) > WIDTH or any(isinstance(item, dict) for item in node)):
        lines = [f"{dotted(place[-1:])} = [", *(f"    {value(item)}," for item in node), "]"]
    said = comments.get(place, "")
    if isinstance(node, list):
        # What is said of its places has no line of its own.
        said = "\n".join(comment for at, comment in comments.items() if at[: len(place)] == place)
    yield from _said(lines, said)


def _line(place: Place, node: object) -> str:
    return f"{dotted(place[-1:])} = {value(node)}"


def _said(lines: Sequence[str], comment: str) -> Iterator[str]:
    """Lines with a comment: on the line where there is one and it has room, else above."""
    remarks = [f"# {remark}".rstrip() for remark in comment.split("\n")] if comment else []
    if len(lines) == len(remarks) == 1 and len(lines[0]) + len(remarks[0]) < WIDTH:
        yield f"{lines[0]}  {remarks[0]}"
    else:
        yield from (*remarks, *lines)
