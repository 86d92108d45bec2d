"""`tallyplate effects`: what each choice in a request is worth."""

import argparse
from pathlib import Path
from typing import Any

import msgspec
from msgspec import UnsetType
from rich.table import Table
from rich.text import Text

from tallyplate.cli.portfolios import change, money, tell
from tallyplate.cli.requests import request_in
from tallyplate.documents.texts import printable
from tallyplate.http.effects import answered, chart
from tallyplate.installation import load
from tallyplate.tradeoffs.choices import Value
from tallyplate.tradeoffs.curves import CURVES
from tallyplate.tradeoffs.effects import Effect, EffectsAnswer


def add(commands: Any) -> None:  # noqa: ANN401 - argparse keeps the type to itself
    """Add the command to the parser."""
    command = commands.add_parser("effects", help="say what each choice in a request is worth, - for standard input")
    command.add_argument("file", metavar="FILE")
    command.add_argument("--json", action="store_true", help="print the answer as JSON instead of a table")
    command.add_argument("--svg", type=Path, metavar="OUT", help="draw a curve as a chart")
    command.add_argument("--curve", choices=CURVES, default=CURVES[0], help=f"which curve to draw ({CURVES[0]})")
    command.set_defaults(run=_effects)


def _effects(parsed: argparse.Namespace) -> int:
    installation, request = load(parsed.data), request_in(parsed.file)
    answer = answered(request, installation)
    if parsed.svg:
        parsed.svg.write_text(chart(request, installation, parsed.curve), "utf-8")
    if parsed.json:
        print(msgspec.json.encode(answer).decode())
        return 0
    plates = f"{answer.quantity:,} plate{'s' * (answer.quantity != 1)}"
    tell(f"{money(answer.total)} {answer.currency} for {plates}; one answer changed at a time:", _table(answer))
    print("* assumed, not said in the request")
    if answer.left_off:
        print(f"{answer.left_off} more were not tried.")
    return 0


def _table(answer: EffectsAnswer) -> Table:
    """The effects, those of one choice under its title and present value."""
    table = Table(header_style="bold", box=None, pad_edge=False)
    for name in ("choice", "now", "instead"):
        table.add_column(name, overflow="fold")
    for name in ("total", "difference"):
        table.add_column(name, justify="right", no_wrap=True)
    table.add_column("", overflow="fold")
    before = ""
    for effect in answer.effects:
        new = effect.pointer != before
        before = effect.pointer
        names = (effect.title, _said(effect.value) + "*" * (not effect.given)) if new else ("", "")
        table.add_row(*(Text(printable(cell)) for cell in (*names, effect.words, *_amounts(effect), _note(effect))))
    return table


def _amounts(effect: Effect) -> tuple[str, str]:
    if isinstance(effect.total, UnsetType) or isinstance(effect.difference, UnsetType):
        return "no price", ""
    return money(effect.total), change(effect.difference)


def _note(effect: Effect) -> str:
    """Why it cannot be made or priced, or what else has to change."""
    if effect.refused:
        return "; ".join(fault.message for fault in effect.refused)
    if effect.errors:
        return f"cannot be made: {', '.join(dict.fromkeys(finding.code for finding in effect.errors))}"
    beside = effect.pointer.rpartition("/")[0] + "/"
    also = [(pointer.removeprefix(beside), value) for pointer, value in effect.changes.items()][1:]
    return ", ".join(f"without {name}" if value is None else f"{name} {_said(value)}" for name, value in also)


def _said(value: Value | None) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return ", ".join(map(str, value)) or "none"
    return "" if value is None else str(value).replace("_", " ")
