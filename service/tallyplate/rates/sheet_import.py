"""A rate card from the rows of an edited sheet: checked row by row, then as any card is, and written out in full.

Every problem names its row, and all come at once. What a key may hold is known from the modules, so that a number typed
into a cell becomes the text with a unit that a rate needs, or the whole number that a price break needs.
"""

import re
from collections.abc import Mapping
from itertools import pairwise
from typing import Any, Final

from msgspec import Struct, inspect

from tallyplate.contract import CostModule
from tallyplate.decoding import shown
from tallyplate.money import minor_digits
from tallyplate.rates.card import RateCard
from tallyplate.rates.files import MAX_BYTES, DataError
from tallyplate.rates.inherit import Written, resolve
from tallyplate.rates.kinds import Place, Step, accepted, card_type, inside
from tallyplate.rates.load import rate_card
from tallyplate.rates.sheet import key_step, key_text, section_place
from tallyplate.rates.sheet_cells import Cell, read_cells
from tallyplate.rates.sheet_values import CellError, stated, unlike, words
from tallyplate.rates.toml_text import document

_CONTROL: Final = re.compile(r"[\x00-\x08\x0b-\x1f\x7f]")
"""What a comment in TOML may not hold."""

Rows = list[tuple[int, dict[str, Cell]]]


class Imported(Struct, frozen=True):
    """A card that a workbook states, and the same as TOML."""

    card: RateCard
    toml: str


class _Leaf(Struct, frozen=True):
    """A value, and the row that states it."""

    value: Any
    row: int


class _Places(dict[int, Any]):
    """A list whose places are still being gathered."""


def imported(name: str, content: bytes, modules: Mapping[str, CostModule]) -> Imported:
    """The card of a workbook; raises `DataError` with every problem, each with its row."""
    try:
        rows = read_cells(content)
        tree, comments = _gathered(rows, inspect.type_info(card_type(modules)))
    except DataError as error:
        raise DataError(*(f"{name}: {problem}" for problem in error.problems)) from None
    lines: dict[tuple[str, ...], int] = {}
    data = _listed(tree, (), lines)
    text = document(data, comments)
    if len(text.encode()) > MAX_BYTES:
        message = f"{name}: makes a card of {len(text.encode())} bytes; accepted: at most {MAX_BYTES}"
        raise DataError(message)
    resolved, _ = resolve({"": Written(name, data, lines)})
    try:
        return Imported(rate_card(resolved[""], modules), text)
    except DataError as error:
        raise DataError(*(problem.replace(f"{name}:", f"{name}: row ", 1) for problem in error.problems)) from None


def _gathered(rows: Rows, kind: inspect.Type) -> tuple[dict[str, Any], dict[Place, str]]:
    """What all rows state, and what they say of it; raises `DataError` with every problem."""
    tree: dict[str, Any] = {}
    said: dict[Place, list[str]] = {}
    currency = _currency(rows)
    problems: list[str] = []
    for row, cells in rows:
        if all(cell.content is None for cell in cells.values()):
            continue
        try:
            place, value = _statement(cells, kind, currency)
            if value is not None:
                _put(tree, place, _Leaf(value, row))
        except CellError as error:
            problems.append(f"row {row}, {error}")
            continue
        said.setdefault(place, []).append(_comment(cells["comment"].text))
    if problems:
        raise DataError(*problems)
    comments = {place: "\n".join(filter(None, remarks)) for place, remarks in said.items()}
    return tree, {place: comment for place, comment in comments.items() if comment}


def _currency(rows: Rows) -> str:
    """The currency that the rates are in, which must be known before they are read."""
    for row, cells in rows:
        if cells["section"].content is None and cells["key"].text.strip() == "currency":
            try:
                minor_digits(cells["figure"].text.strip())
            except ValueError as error:
                message = f"row {row}, column figure: {error}"
                raise DataError(message) from None
            return cells["figure"].text.strip()
    message = (
        "no row states the currency; accepted: a row with an empty section, the key currency and a figure such as USD"
    )
    raise DataError(message)


def _statement(cells: Mapping[str, Cell], kind: inspect.Type, currency: str) -> tuple[Place, Any]:
    """The key of a row and what it states of it; or a section and nothing, where it is only commented on."""
    for column, cell in cells.items():
        if cell.computed:
            raise unlike(column, cell, "the value itself")
    section, key = words("section", cells["section"]), words("key", cells["key"])
    figure, unit = cells["figure"], cells["unit"]
    words("comment", cells["comment"])
    try:
        place = section_place(section)
    except ValueError:
        raise unlike("section", cells["section"], 'names joined by dots, such as stock.price."half round"') from None
    around = kind
    for step in place:
        around = _below(around, step, "section")
    if not key and figure.content is unit.content is None:
        return place, None
    try:
        step = key_step(key)
    except ValueError:
        raise unlike("key", cells["key"], accepted(around)) from None
    return (*place, step), stated(_below(around, step, "key"), figure, unit, currency)


def _below(kind: inspect.Type, step: Step, column: str) -> inspect.Type:
    below = inside(kind, step)
    if below is None:
        reason = f"{shown(key_text(step))} is unknown here; accepted: {accepted(kind)}"
        raise CellError(column, reason)
    return below


def _comment(text: str) -> str:
    """A comment as TOML can hold it."""
    lines = re.sub(r"\r\n?", "\n", text).split("\n")
    return "\n".join(_CONTROL.sub(" ", line).rstrip() for line in lines).strip("\n")


def _put(tree: dict[Any, Any], place: Place, leaf: _Leaf) -> None:
    """Add what a row states, which no other row may."""
    node = tree
    for step, following in pairwise(place):
        node = node.setdefault(step, _Places() if isinstance(following, int) else {})
        if isinstance(node, _Leaf):
            raise CellError("section", f"row {node.row} states that nothing stands here")
    if place[-1] in node:
        earlier = node[place[-1]]
        by = f"row {earlier.row}" if isinstance(earlier, _Leaf) else "rows of its own"
        raise CellError("key", f"is stated by {by} already; accepted: once")
    node[place[-1]] = leaf


def _listed(node: Any, here: tuple[str, ...], lines: dict[tuple[str, ...], int]) -> Any:  # noqa: ANN401 - any data
    """The data of a tree, and the rows that state them; a place of a list that nothing states closes up."""
    if isinstance(node, _Leaf):
        lines[here] = node.row
        for length in range(1, len(here)):
            lines.setdefault(here[:length], node.row)
        return node.value
    items = enumerate(node[at] for at in sorted(node)) if isinstance(node, _Places) else node.items()
    made = {step: _listed(inner, (*here, str(step)), lines) for step, inner in items}
    return [*made.values()] if isinstance(node, _Places) else made
