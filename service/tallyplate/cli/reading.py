"""`tallyplate read`: what a note asks for, with the words for each answer, what is unclear, and what was not read."""

import argparse
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import msgspec
from rich.console import Console
from rich.table import Table
from rich.text import Text

from tallyplate.contract import refuse
from tallyplate.documents.texts import printable
from tallyplate.http.readings import answered
from tallyplate.installation import load
from tallyplate.reading.statements import Reading


def add(commands: Any) -> None:  # noqa: ANN401 - argparse keeps the type to itself
    """Add the command to the parser."""
    command = commands.add_parser("read", help="read a request from a note or an e-mail, - for standard input")
    command.add_argument("file", metavar="FILE")
    command.add_argument("--as-of", metavar="DATE", help="date on which the note was written, such as 2026-03-02")
    command.add_argument("--json", action="store_true", help="print the answer as JSON instead of tables")
    command.set_defaults(run=_read)


def _read(parsed: argparse.Namespace) -> int:
    request = {"note": _note(parsed.file)} | ({"as_of": parsed.as_of} if parsed.as_of else {})
    reading = answered(request, load(parsed.data))
    if parsed.json:
        print(msgspec.json.encode(reading).decode())
        return 0
    _show(reading, Console())
    return 0


def _note(file: str) -> str:
    """The text of a file; refuses what is not UTF-8."""
    try:
        return (sys.stdin.buffer.read() if file == "-" else Path(file).read_bytes()).decode("utf-8")
    except UnicodeDecodeError:
        raise refuse("/note", "is not UTF-8; accepted: text in UTF-8") from None


def _show(reading: Reading, console: Console) -> None:
    parts: tuple[tuple[str, tuple[str, ...], list[tuple[str, ...]]], ...] = (
        (
            "Read",
            ("field", "value", "words", "because"),
            [(one.pointer, _shown(one.value), one.words, one.because) for one in reading.answers],
        ),
        (
            "Unclear",
            ("field", "words", "why", "could be"),
            [(one.pointer, one.words, one.why, "; ".join(map(_shown, one.choices))) for one in reading.unclear],
        ),
        ("Not understood", ("words",), [(one.words,) for one in reading.not_understood]),
    )
    for title, columns, rows in parts:
        console.print(Text(f"{title}: nothing" if not rows else f"{title}:"), style="bold")
        if rows:
            console.print(_table(columns, rows))


def _table(columns: Iterable[str], rows: Iterable[tuple[str, ...]]) -> Table:
    table = Table(header_style="bold", box=None)
    for name in columns:
        table.add_column(name, overflow="fold")
    for row in rows:
        table.add_row(*(Text(printable(" ".join(cell.split()))) for cell in row))
    return table


def _shown(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return ", ".join(map(str, value)) or "none" if isinstance(value, tuple) else str(value)
