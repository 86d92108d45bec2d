"""`tallyplate price`."""

import argparse
import shutil
import textwrap
from collections.abc import Iterable
from typing import Any, Final

import msgspec
from rich.console import Console
from rich.markup import escape
from rich.table import Table

from tallyplate.answers import LineAnswer, PriceAnswer
from tallyplate.cli.requests import request_in
from tallyplate.contract import Assumption
from tallyplate.documents.texts import printable
from tallyplate.findings import Finding
from tallyplate.installation import load
from tallyplate.sets.answers import SetAnswer, set_answer
from tallyplate.sets.inquiry import is_set
from tallyplate.sets.priced import price_set
from tallyplate.units import listed

NO_TERMINAL: Final = (100, 24)
"""Columns and lines of what goes to a file or to another program."""


def add(commands: Any) -> None:  # noqa: ANN401 - argparse keeps the type to itself
    """Add the command to the parser."""
    price = commands.add_parser(
        "price", help="price a request or a set of plates from a JSON file, - for standard input"
    )
    price.add_argument("file", metavar="FILE")
    price.add_argument("--json", action="store_true", help="print the answer as JSON instead of a table")
    price.set_defaults(run=_price)


def _price(parsed: argparse.Namespace) -> int:
    installation, request = load(parsed.data), request_in(parsed.file)
    answer: PriceAnswer | SetAnswer
    if is_set(request):
        answer = set_answer(price_set(request, installation), installation.versions)
    else:
        answer = installation.price(request)
    if parsed.json:
        print(msgspec.json.encode(answer).decode())
    elif isinstance(answer, SetAnswer):
        show_set(answer, screen())
    else:
        show(answer, screen())
    return 0


def screen() -> Console:
    """Standard output, as wide as its terminal."""
    return Console(width=shutil.get_terminal_size(NO_TERMINAL).columns)


def show(answer: PriceAnswer, console: Console) -> None:
    """Print a price as a table that can be read aloud."""
    table = _table()
    _add_lines(table, answer.lines)
    table.add_section()
    table.add_row("", f"total for {answer.quantity}", "", "", "", f"{answer.total}", style="bold")
    console.print(table)
    console.print(
        f"\n{answer.total} {answer.currency} for {answer.quantity}, {answer.unit_price} each. "
        f"{answer.mass.each} {answer.mass.unit} each. Ready on {answer.lead_time.ready_on}, after "
        f"{answer.lead_time.working_days} working days."
    )
    _tell(answer.findings, answer.assumed, console)


def show_set(answer: SetAnswer, console: Console) -> None:
    """Print a set as a table: the lines of each plate, those that plates share, and each plate's part of the total."""
    table = _table()
    for place, plate in enumerate(answer.plates):
        where = f"/plates/{place}"
        like = f", counted with {plate.like}" if plate.like else ""
        table.add_row(where, f"{plate.quantity} x {escape(plate.name or where)}{like}", style="bold")
        _add_lines(table, plate.lines)
        table.add_section()
    table.add_row("shared", "by plates of the order", style="bold")
    _add_lines(table, answer.shared)
    table.add_section()
    table.add_row("", f"total for {answer.quantity}", "", "", "", f"{answer.total}", style="bold")
    console.print(table)
    console.print()
    for place, plate in enumerate(answer.plates):
        where = f"/plates/{place}"
        _say(
            f"{plate.name or where}: {plate.amount} {answer.currency} for {plate.quantity}, {plate.unit_price} each, "
            f"with its part of what is shared. {plate.mass.each} {plate.mass.unit} each.",
            console,
        )
    console.print(
        f"{answer.total} {answer.currency} for the order. {answer.mass.total} {answer.mass.unit} in all. Ready on "
        f"{answer.lead_time.ready_on}, after {answer.lead_time.working_days} working days."
    )
    for plate in answer.plates:
        _tell(plate.findings, plate.assumed, console)
    _tell(answer.findings, (), console)


def _table() -> Table:
    table = Table(box=None, header_style="bold", pad_edge=False)
    for name in ("", "item", "unit"):
        table.add_column(name)
    for name in ("quantity", "rate", "amount"):
        table.add_column(name, justify="right")
    return table


def _add_lines(table: Table, lines: Iterable[LineAnswer]) -> None:
    module = None
    for line in lines:
        shown = line.module if line.module != module else ""
        module = line.module
        table.add_row(shown, line.item, line.unit, line.quantity, line.rate, line.amount)


def _tell(findings: Iterable[Finding], assumptions: Iterable[Assumption], console: Console) -> None:
    for finding in findings:
        _say(f"{finding.severity.value}: {finding.message} [{finding.pointer}]", console)
        if finding.mend:
            _say(f"mend: {finding.mend.words}", console, indent="  ")
    for assumed in assumptions:
        _say(f"assumed {assumed.pointer}: {_in_words(assumed.value)} ({assumed.why})", console)


def _in_words(value: object) -> str:
    """An assumed value as a person writes it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list | tuple):
        return listed(map(str, value)) or "none"
    return str(value).replace("_", " ")


def _say(text: str, console: Console, indent: str = "") -> None:
    console.print(wrapped(printable(text), console.width, indent), markup=False, soft_wrap=True)


def wrapped(text: str, width: int, indent: str = "") -> str:
    """A text in lines of so many columns, all but the first set in further; words stay whole."""
    return textwrap.fill(
        text,
        width,
        initial_indent=indent,
        subsequent_indent=f"{indent}  ",
        break_long_words=False,
        break_on_hyphens=False,
    )
