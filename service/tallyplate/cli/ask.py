"""`tallyplate ask`: what is still open in a request, as questions to read out, and the range of its price so far."""

import argparse
from decimal import Decimal
from typing import Any

import msgspec
from msgspec import UnsetType
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from tallyplate.cli.portfolios import money
from tallyplate.cli.requests import request_in
from tallyplate.documents.texts import printable
from tallyplate.http.questions import answered
from tallyplate.installation import load
from tallyplate.tradeoffs.choices import Value
from tallyplate.tradeoffs.questions.answer import QuestionsAnswer
from tallyplate.tradeoffs.questions.asking import Answer, OpenQuestion
from tallyplate.units import counted


def add(commands: Any) -> None:  # noqa: ANN401 - argparse keeps the type to itself
    """Add the command to the parser."""
    command = commands.add_parser("ask", help="say what is still open in a request, - for standard input")
    command.add_argument("file", metavar="FILE")
    command.add_argument("--json", action="store_true", help="print the answer as JSON instead of a table")
    command.set_defaults(run=_ask)


def _ask(parsed: argparse.Namespace) -> int:
    answer = answered(request_in(parsed.file), load(parsed.data))
    if parsed.json:
        print(msgspec.json.encode(answer).decode())
        return 0
    console = Console()
    console.print(Text(_so_far(answer)), style="bold", soft_wrap=True)
    if answer.open:
        console.print(_table(answer))
        console.print("\n* needed before there is a price; the answer marked so stands in for it until then")
    return 0


def _so_far(answer: QuestionsAnswer) -> str:
    price = answer.price
    if not answer.open:
        return f"{money(price.usual)} {price.currency}; nothing is open."
    lowest, highest, usual = (money(one) for one in (price.lowest, price.highest, price.usual))
    many = f"{counted(len(answer.open), 'question')} open"
    return f"{lowest} to {highest} {price.currency}, {usual} as usual; {many}:"


def _table(answer: QuestionsAnswer) -> Table:
    """The questions in the order in which to ask them, each with its answers and why it matters below."""
    table = Table(header_style="bold", box=None, pad_edge=False)
    for name in ("question", "usual"):
        table.add_column(name, overflow="fold", ratio=4 if name == "question" else 1)
    for name in ("lowest", "highest"):
        table.add_column(name, justify="right", no_wrap=True)
    for number, one in enumerate(answer.open, start=1):
        decided = (money(one.lowest), money(one.highest)) if Decimal(one.decides) else ("", "")
        cells = (f"{number}. {one.question}", _usual(one), *decided)
        table.add_row(*(Text(printable(cell)) for cell in cells))
        not_to_be = (f"not {_shown(each.value)}: {each.why}" for each in one.impossible)
        for words in (one.why, _answers(one), *not_to_be):
            if words:
                table.add_row(Padding(Text(printable(words), style="dim"), (0, 0, 0, 4)))
    return table


def _usual(one: OpenQuestion) -> str:
    if not isinstance(one.supposed, UnsetType):
        return f"{_shown(one.supposed)}*"
    return "" if isinstance(one.usual, UnsetType) else _shown(one.usual)


def _answers(one: OpenQuestion) -> str:
    if isinstance(one.range, UnsetType):
        return f"answers: {'; '.join(map(_said, one.choices or ()))}" if one.choices else ""
    if isinstance(one.range.greatest, UnsetType):
        return f"from {_shown(one.range.least)}"
    return f"anything from {_shown(one.range.least)} to {_shown(one.range.greatest)}"


def _said(answer: Answer) -> str:
    value = _shown(answer.value)
    return answer.words if answer.words in {value, value.replace("_", " ")} else f"{answer.words} ({value})"


def _shown(value: Value) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return ", ".join(map(str, value)) or "none" if isinstance(value, tuple) else str(value)
