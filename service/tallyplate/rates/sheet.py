"""A rate card as rows of a sheet, a row a figure, so that finance can edit it where it edits everything else.

`section` is the table that a key stands in, as TOML writes it, with the places of lists counted from 1: `stock.price`,
`inserts.bushing.M12.breaks[2]`. A figure stands apart from its unit, so that people edit numbers. A row with a comment
and neither key nor figure says something of its section. `origin` says where the files state a figure; it is not read
back.
"""

import json
import re
from collections.abc import Iterator, Mapping
from datetime import date, datetime
from typing import Any, Final

from msgspec import Struct, inspect

from tallyplate.contract import CostModule
from tallyplate.rates.card import RateCard
from tallyplate.rates.comments import comments
from tallyplate.rates.files import END, DataError
from tallyplate.rates.inherit import INHERITS, Resolved, Written
from tallyplate.rates.kinds import Place, Step, card_type, inside
from tallyplate.rates.lines import nearest
from tallyplate.rates.toml_text import dotted

EMPTY: Final[dict[type, str]] = {dict: "{}", list: "[]"}
"""How a table or a list that holds nothing is written where a figure would stand."""

Scalar = str | int | float | date
"""What a figure can be; a truth is an int."""

_STEP: Final = re.compile(
    r"(\.|\A)(?:(?P<bare>[A-Za-z0-9_-]+)|(?P<quoted>\"(?:[^\"\\]|\\.)*\"))|\[(?P<at>[1-9][0-9]{0,5})\]"
)
_FIGURE: Final = re.compile(r"([0-9][0-9./ ]*) ([A-Za-z%]\S*)")


class Row(Struct, frozen=True):
    """One row: a figure, or, without key and figure, what is said of a section."""

    section: str
    key: str
    figure: Scalar | None
    unit: str
    comment: str
    origin: str


def rows(card: RateCard, modules: Mapping[str, CostModule], texts: Mapping[str, str]) -> Iterator[Row]:
    """Every figure of a card, as the files order them; `texts` are the files by name, for their comments."""
    leaves = [*_leaves(card.resolved.data, inspect.type_info(card_type(modules)), ())]
    said = _said(card.resolved, texts, [place for place, _, _ in leaves])
    for place, figure, unit in leaves:
        for length in range(len(place)):
            if comment := said.pop(place[:length], ""):
                yield Row(section_text(place[:length]), "", None, "", comment, "")
        section, key = section_text(place[:-1]), key_text(place[-1])
        yield Row(section, key, figure, unit, said.pop(place, ""), _origin(card.resolved, place))


def _leaves(node: Any, kind: inspect.Type | None, here: Place) -> Iterator[tuple[Place, Scalar, str]]:  # noqa: ANN401
    """Each figure with its place, parted from its unit."""
    if isinstance(node, dict | list):
        if not node:
            yield here, EMPTY[type(node)], ""
        for step, inner in node.items() if isinstance(node, dict) else enumerate(node):
            yield from _leaves(inner, kind and inside(kind, step), (*here, step))
    elif kind is None or isinstance(node, datetime) or not isinstance(node, Scalar):
        message = f"{dotted(here)}: {type(node).__name__} {node} is nothing that a sheet can hold"
        raise DataError(message)
    elif isinstance(kind, inspect.CustomType) and (parted := _FIGURE.fullmatch(str(node))):
        yield here, parted[1], parted[2]
    else:
        yield here, node, ""


def _said(resolved: Resolved, texts: Mapping[str, str], leaves: list[Place]) -> dict[Place, str]:
    """What the files say of each figure where they state it, and of each table, by the latest file that says anything.

    What is said of a key that no row has, such as `inherits`, goes to the table around it.
    """
    known = {place[:length] for place in leaves for length in range(len(place) + 1)}
    tables = {place for place in known - {*leaves} if place and not _in_list(place) and (*place, 0) not in known}
    made: dict[Place, str] = {}
    for source in _lineage(resolved):
        here: dict[Place, list[str]] = {}
        # The mark at the end of a file that inherits is no comment.
        text = texts.get(source.file, "").rstrip().removesuffix(END if INHERITS in source.data else "")
        for stated, comment in comments(text).items():
            place = stated
            while place not in known:
                place = place[:-1]
            if place in tables or resolved.origin(names(place)) is source:
                here.setdefault(place, []).append(comment)
        made = {place: "\n".join(said) for place, said in here.items()} | made
    return made


def _in_list(place: Place) -> bool:
    return any(isinstance(step, int) for step in place)


def _lineage(resolved: Resolved) -> Iterator[Written]:
    """A card's file and those that it inherits figures from, nearest first."""
    by_id = {source.data.get("id"): source for source in resolved.origins.values()}
    source: Written | None = resolved.origin(())
    while source:
        yield source
        source = by_id.get(source.data.get(INHERITS))


def _origin(resolved: Resolved, place: Place) -> str:
    source = resolved.origin(names(place))
    inherited = "" if source.file == resolved.file else f", inherited from {source.data['id']}"
    return f"{source.file}:{nearest(source.lines, names(place))}{inherited}"


def names(place: Place) -> tuple[str, ...]:
    """A place as loading names it."""
    return tuple(map(str, place))


def section_text(place: Place) -> str:
    """A table or a list as the sheet names it: `inserts.bushing."3/8-16".breaks[2]`."""
    steps = (f"[{step + 1}]" if isinstance(step, int) else f".{dotted((step,))}" for step in place)
    return "".join(steps).removeprefix(".")


def key_text(step: Step) -> str:
    """A key as the sheet names it: as it is, unless that would be misread."""
    if isinstance(step, int):
        return f"[{step + 1}]"
    return json.dumps(step, ensure_ascii=False) if not step or step[0] in '["' or step != step.strip() else step


def section_place(text: str) -> Place:
    """What `section_text` wrote; raises `ValueError` for anything else."""
    place: list[Step] = []
    end = 0
    while end < len(text):
        step = _STEP.match(text, end)
        if step is None:
            message = f"{text!r} is not the name of a section"
            raise ValueError(message)
        place.append(int(step["at"]) - 1 if step["at"] else step["bare"] or _unquoted(step["quoted"]))
        end = step.end()
    return tuple(place)


def _unquoted(text: str) -> str:
    step: str = json.loads(text)
    step.encode()  # Half a character, which quotes can spell out, is no text.
    return step


def key_step(text: str) -> Step:
    """What `key_text` wrote; raises `ValueError` for nothing, and for quotes or brackets that do not close."""
    if text.startswith(("[", '"')) or not text:
        (step,) = section_place(text)
        return step
    return text
