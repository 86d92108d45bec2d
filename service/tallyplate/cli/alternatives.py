"""`tallyplate alternatives`: the plates that fit a budget."""

import argparse
from typing import Any

import msgspec
from msgspec import UnsetType
from rich.table import Table
from rich.text import Text

from tallyplate.cli.portfolios import change, money, tell
from tallyplate.cli.requests import request_in
from tallyplate.documents.texts import printable
from tallyplate.http.alternatives import MAY_CHANGE, answered
from tallyplate.installation import load
from tallyplate.tradeoffs.alternatives.told import Alternative, AlternativesAnswer, Standing

MOST_ROWS = 25
"""Alternatives that are usually shown."""


def add(commands: Any) -> None:  # noqa: ANN401 - argparse keeps the type to itself
    """Add the command to the parser."""
    command = commands.add_parser("alternatives", help="find the plates that fit a budget, - for standard input")
    command.add_argument("file", metavar="FILE")
    command.add_argument("--budget", metavar="SUM", help='in place of the request\'s own, such as "4500.00 USD"')
    command.add_argument(
        "--may-change", metavar="POINTER", action="append", help="a field that may change; may be given again"
    )
    command.add_argument("--most", type=int, default=MOST_ROWS, metavar="N", help=f"rows shown at most ({MOST_ROWS})")
    command.add_argument("--json", action="store_true", help="print the answer as JSON instead of a table")
    command.set_defaults(run=_alternatives)


def _alternatives(parsed: argparse.Namespace) -> int:
    request = request_in(parsed.file)
    said = {"budget": parsed.budget, MAY_CHANGE: parsed.may_change}
    if isinstance(request, dict):
        request = {**request, **{name: value for name, value in said.items() if value is not None}}
    answer = answered(request, load(parsed.data))
    if parsed.json:
        print(msgspec.json.encode(answer).decode())
        return 0
    show(answer, parsed.most)
    return 0


def show(answer: AlternativesAnswer, most: int) -> None:
    """Print the alternatives as a table that can be read aloud, the best for the money last."""
    plates = f"{answer.quantity:,} plate{'s' * (answer.quantity != 1)}"
    present = f"{money(answer.present.total)} {answer.currency} for {plates} as asked for"
    examined = f"{answer.possible:,} of {answer.examined:,} combinations can be made"
    fit = f"{len(answer.alternatives):,} are worth looking at within {money(answer.budget)} {answer.currency}"
    if not isinstance(answer.nothing_fits, UnsetType):
        cheapest = answer.nothing_fits.cheapest
        shown: tuple[Alternative, ...] = () if isinstance(cheapest, UnsetType) else (cheapest,)
        tell(f"{present}; {examined}. {answer.nothing_fits.sentence}", _table(answer, shown))
        return
    shown = _spread(answer.alternatives, most)
    tell(f"{present}; {examined}, {fit}:", _table(answer, shown))
    if len(shown) < len(answer.alternatives):
        print(f"{len(answer.alternatives) - len(shown)} more, of prices between these, with --most or --json.")


def _spread(found: tuple[Alternative, ...], most: int) -> tuple[Alternative, ...]:
    """At most so many, from the cheapest to the dearest."""
    if len(found) <= most:
        return found
    step = (len(found) - 1) / max(1, most - 1)
    return tuple(found[round(place * step)] for place in range(most))


def _table(answer: AlternativesAnswer, shown: tuple[Alternative, ...]) -> Table:
    table = Table(header_style="bold", box=None, pad_edge=False)
    for name in ("total", "difference", "positions", "tolerance", "stiffness"):
        table.add_column(name, justify="right", no_wrap=True)
    table.add_column("what it means", overflow="fold")
    table.add_row(*_cells(answer.present, "", "As asked for."), style="dim")
    for one in shown:
        table.add_row(*_cells(one, change(one.difference), one.sentence))
    return table


def _cells(of: Standing, difference: str, words: str) -> list[Text]:
    cells = (money(of.total), difference, f"{of.positions:,}", of.position_tolerance, of.stiffness, words)
    return [Text(printable(cell)) for cell in cells]
