"""`tallyplate price`."""

import argparse
from typing import Any

import msgspec
from rich.console import Console
from rich.table import Table

from tallyplate.answers import PriceAnswer
from tallyplate.cli.requests import request_in
from tallyplate.installation import load


def add(commands: Any) -> None:  # noqa: ANN401 - argparse keeps the type to itself
    """Add the command to the parser."""
    price = commands.add_parser("price", help="price a request from a JSON file, - for standard input")
    price.add_argument("file", metavar="FILE")
    price.add_argument("--json", action="store_true", help="print the answer as JSON instead of a table")
    price.set_defaults(run=_price)


def _price(parsed: argparse.Namespace) -> int:
    answer = load(parsed.data).price(request_in(parsed.file))
    if parsed.json:
        print(msgspec.json.encode(answer).decode())
    else:
        show(answer, Console())
    return 0


def show(answer: PriceAnswer, console: Console) -> None:
    """Print a price as a table that can be read aloud."""
    table = Table(box=None, header_style="bold", pad_edge=False)
    for name in ("", "item", "unit"):
        table.add_column(name)
    for name in ("quantity", "rate", "amount"):
        table.add_column(name, justify="right")
    module = None
    for line in answer.lines:
        shown = line.module if line.module != module else ""
        module = line.module
        table.add_row(shown, line.item, line.unit, line.quantity, line.rate, line.amount)
    table.add_section()
    table.add_row("", f"total for {answer.quantity}", "", "", "", f"{answer.total}", style="bold")
    console.print(table)
    console.print(
        f"\n{answer.total} {answer.currency} for {answer.quantity}, {answer.unit_price} each. "
        f"{answer.mass.each} {answer.mass.unit} each. Ready on {answer.lead_time.ready_on}, after "
        f"{answer.lead_time.working_days} working days."
    )
    for finding in answer.findings:
        console.print(f"{finding.severity.value}: {finding.message} [{finding.pointer}]", markup=False, soft_wrap=True)
        if finding.mend:
            console.print(f"  mend: {finding.mend.words}", markup=False, soft_wrap=True)
    for assumed in answer.assumed:
        console.print(f"assumed {assumed.pointer}: {assumed.value} ({assumed.why})", markup=False, soft_wrap=True)
