"""What the figure and the unit in a row of an edited sheet say, for a key that holds a certain type."""

import re
from collections.abc import Callable
from datetime import date, datetime, time
from typing import Any, Final

from msgspec import inspect

from tallyplate.rates.sections import money_hook
from tallyplate.rates.sheet import EMPTY
from tallyplate.rates.sheet_cells import Cell
from tallyplate.units import UnitError

_NUMBER: Final = re.compile(r"[0-9]{1,12}(\.[0-9]{1,12})?|([0-9]{1,6} )?[0-9]{1,6}/[0-9]{1,6}")
"""A number that nothing is wrong with, so that what is wrong is its unit."""


class CellError(Exception):
    """What is wrong with a cell, by the name of its column."""

    def __init__(self, column: str, reason: str) -> None:
        super().__init__(f"column {column}: {reason}")


def unlike(column: str, cell: Cell, accepted: str) -> CellError:
    """The error of a cell that holds something else than it may."""
    return CellError(column, f"found {cell.found}; accepted: {accepted}")


def words(column: str, cell: Cell) -> str:
    """The text of a cell, where a number is text too, without blanks around it; raises `CellError`."""
    if not (cell.content is None or cell.number or isinstance(cell.content, str)):
        raise unlike(column, cell, "text; format the cell as text before you type")
    return cell.text.strip()


def stated(kind: inspect.Type, figure: Cell, unit: Cell, currency: str) -> Any:  # noqa: ANN401 - whatever TOML holds
    """What a row states of a key; raises `CellError`."""
    custom = isinstance(kind, inspect.CustomType)
    accepted, read = ("a number", _text) if custom else _READERS.get(type(kind), ("text", _text))
    if figure.content is None or (custom and not figure.text.strip()):
        raise unlike("figure", figure, f"{accepted}, or no row at all")
    try:
        value = read(figure)
    except ValueError:
        raise unlike("figure", figure, accepted) from None
    if isinstance(kind, inspect.CustomType):
        return _with_unit(kind.cls, figure, unit, currency)
    if unit.content is not None:
        raise unlike("unit", unit, "nothing, since no unit belongs to this key")
    return value


def _with_unit(kind: type, figure: Cell, unit: Cell, currency: str) -> str:
    """A figure as a card writes it, checked by what its unit measures."""
    number, written = figure.text.strip(), words("unit", unit)
    if figure.percent and written not in {"", "%"}:
        raise unlike("unit", unit, "%, since the figure is shown as a percentage")
    text = f"{number} {'%' if figure.percent else written}".rstrip()
    try:
        money_hook(currency)(kind, text)
    except UnitError as error:
        raise CellError("unit" if _NUMBER.fullmatch(number) else "figure", str(error)) from None
    return text


def _text(figure: Cell) -> str:
    if not (figure.number or isinstance(figure.content, str)):
        raise ValueError
    return figure.text


def _whole(figure: Cell) -> int:
    if not re.fullmatch(r"-?[0-9]{1,18}", _text(figure).strip()):
        raise ValueError
    return int(_text(figure))


def _decimal(figure: Cell) -> float:
    return float(_text(figure))


def _truth(figure: Cell) -> bool:
    text = str(figure.content).strip().casefold()
    if text not in {"true", "false"}:
        raise ValueError
    return text == "true"


def _day(figure: Cell) -> date:
    if isinstance(figure.content, datetime) and figure.content.time() == time():
        return figure.content.date()
    return date.fromisoformat(str(figure.content).strip())


def _nothing_in(kind: type) -> Callable[[Cell], object]:
    def read(figure: Cell) -> object:
        if figure.text.strip() != EMPTY[kind]:
            raise ValueError
        return kind()

    return read


_TABLE: Final = (f"{EMPTY[dict]} where it is empty; else each of its keys has a row of its own", _nothing_in(dict))
_LIST: Final = (f"{EMPTY[list]} where it is empty; else each of its places has a row of its own", _nothing_in(list))

_READERS: Final[dict[type, tuple[str, Callable[[Cell], Any]]]] = {
    inspect.IntType: ("a whole number", _whole),
    inspect.FloatType: ("a number", _decimal),
    inspect.BoolType: ("TRUE or FALSE", _truth),
    inspect.DateType: ("a date, such as 2026-01-01", _day),
    inspect.DictType: _TABLE,
    inspect.StructType: _TABLE,
    inspect.ListType: _LIST,
    inspect.VarTupleType: _LIST,
}
"""By the type of a key: what is accepted, and how it is read; all others hold text."""
