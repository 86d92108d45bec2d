"""Reading a portfolio: many orders from one file, each known by its line, so that none is lost without a word.

The name of a file says what it holds: `.csv` a table, `.json` one request or a list of them, anything else a request a
line (NDJSON).
"""

import csv
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from typing import Any, Final

from msgspec import Struct

from tallyplate.contract import Fault, Refusal, refuse
from tallyplate.decoding import shown
from tallyplate.inquiry import decode
from tallyplate.rates.files import DataError

MAX_STEPS: Final = 8
"""Most steps of a column's path; a request is not nested deeper."""

BYTE_ORDER_MARK: Final = b"\xef\xbb\xbf"
"""What spreadsheets put before UTF-8."""

COUNTS: Final = frozenset({"count", "faces", "rows_left_out", "columns_left_out"})
"""Fields of a plate that hold whole numbers, or lists of them."""

Column = tuple[str, ...]


class Entry(Struct, frozen=True):
    """One order as it stands in a portfolio: a request to be priced, or why there is none."""

    line: int
    """Its line in the file, or its place in a list; counted from 1."""
    request: object = None
    faults: tuple[Fault, ...] = ()


def portfolio(lines: Iterable[bytes], name: str) -> Iterator[Entry]:
    """The orders of a file of that name. Raises `DataError` where the file as a whole says nothing."""
    unmarked = (line.removeprefix(BYTE_ORDER_MARK) if place == 0 else line for place, line in enumerate(lines))
    if name.lower().endswith(".csv"):
        return _table(unmarked, name)
    return _document(unmarked, name) if name.lower().endswith(".json") else _requests(unmarked)


def _requests(lines: Iterable[bytes]) -> Iterator[Entry]:
    for number, line in enumerate(lines, start=1):
        if line.strip():
            try:
                request = decode(line)
            except Refusal as refusal:
                yield Entry(number, faults=refusal.faults)
            else:
                yield Entry(number, request)


def _document(lines: Iterable[bytes], name: str) -> Iterator[Entry]:
    try:
        data = decode(b"".join(lines))
    except Refusal as refusal:
        raise DataError(*(f"{name}: {fault.message}" for fault in refusal.faults)) from None
    for place, request in enumerate(data if isinstance(data, list) else [data], start=1):
        yield Entry(place, request)


def _table(lines: Iterable[bytes], name: str) -> Iterator[Entry]:
    columns: list[Column] = []
    delimiter = ","
    for number, line in enumerate(lines, start=1):
        try:
            if not columns:
                # Where the comma parts decimals, spreadsheets part cells by semicolons.
                delimiter = "," if b"," in line or b";" not in line else ";"
            cells = _cells(line, delimiter)
            if any(cells):
                if columns:
                    yield Entry(number, _request(columns, cells))
                else:
                    columns = _columns(cells)
        except Refusal as refusal:
            if not columns:
                raise DataError(*(f"{name}:{number}: {fault.message}" for fault in refusal.faults)) from None
            yield Entry(number, faults=refusal.faults)


def _cells(line: bytes, delimiter: str) -> list[str]:
    """The cells of one line. Each line is read by itself, so that a forgotten quote cannot swallow the orders below."""
    try:
        text = line.decode("utf-8").rstrip("\r\n")
        return [cell.strip() for row in csv.reader([text], delimiter=delimiter, strict=True) for cell in row]
    except UnicodeDecodeError:
        raise refuse("", "is not UTF-8; accepted: CSV in UTF-8") from None
    except csv.Error as error:
        raise refuse("", f"is not CSV: {error}; accepted: cells on one line, quotes in pairs") from None


def _columns(header: list[str]) -> list[Column]:
    """The paths that a header names; refuses those that two cells would be laid on, and those that lead nowhere."""
    columns = [tuple(name.split(".")) for name in header]
    faults = [
        Fault("", f"the column {shown(name)} is no path; accepted: names with dots, such as plate.length")
        for name, path in zip(header, columns, strict=True)
        if not all(path) or len(path) > MAX_STEPS
    ]
    counts = Counter(columns)
    faults += [
        Fault("", f"the column {shown('.'.join(path))} stands twice, or inside another; accepted: each field once")
        for path, count in counts.items()
        if count > 1 or any(path[:steps] in counts for steps in range(1, len(path)))
    ]
    if faults:
        raise Refusal(*faults)
    return columns


def _request(columns: list[Column], cells: list[str]) -> object:
    """A request from one row; empty cells are left out."""
    if len(cells) > len(columns):
        raise refuse("", f"has {len(cells)} cells; accepted: at most the {len(columns)} of the header")
    made: dict[str, Any] = {}
    for path, cell in zip(columns, cells, strict=False):
        if cell:
            *parents, last = path
            place = made
            for step in parents:
                place = place.setdefault(step, {})
            place[last] = typed(path, cell)
    return _with_lists(made)


def typed(path: Column, cell: str) -> object:
    """A cell as JSON would have it: text, but for the quantity, for counts of a plate, and for yes and no."""
    named = [step for step in path if not step.isdigit()]
    if (path == ("quantity",) or (named and named[-1] in COUNTS)) and re.fullmatch("[0-9]{1,9}", cell):
        return int(cell)
    return {"true": True, "false": False}.get(cell.lower(), cell)


def _with_lists(node: object) -> object:
    """Steps that are numbers are places of a list, as in `plate.marking.edges.0`."""
    if not isinstance(node, dict):
        return node
    made = {step: _with_lists(child) for step, child in node.items()}
    if made and all(re.fullmatch("[0-9]{1,4}", step) for step in made):
        return [made[step] for step in sorted(made, key=int)]
    return made
