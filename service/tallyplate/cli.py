"""The command line: serve, and price a file."""

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

import msgspec
import structlog
import uvicorn
from rich.console import Console
from rich.table import Table

from tallyplate.answers import PriceAnswer
from tallyplate.contract import Refusal
from tallyplate.discovery import PluginError
from tallyplate.http.app import create_app
from tallyplate.inquiry import decode
from tallyplate.installation import load
from tallyplate.pricing import PluginFailure
from tallyplate.rates.files import DataError


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit code: 0 done, 1 refused, 2 wrongly called."""
    parsed = _parser().parse_args(arguments)
    try:
        return int(parsed.run(parsed))
    except (DataError, PluginError, PluginFailure) as error:
        print(error, file=sys.stderr)
        return 1


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="tallyplate", description="Prices made-to-order modular fixture plates.")
    parser.add_argument(
        "--data", type=Path, help="folder with rate_cards/ and shop_data/ (the demonstration's by default)"
    )
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    serve = commands.add_parser("serve", help="answer over HTTP")
    serve.add_argument("--host", default="127.0.0.1")
    serve.add_argument("--port", type=int, default=8080)
    serve.set_defaults(run=_serve)
    price = commands.add_parser("price", help="price a request from a JSON file, - for standard input")
    price.add_argument("file", metavar="FILE")
    price.add_argument("--json", action="store_true", help="print the answer as JSON instead of a table")
    price.set_defaults(run=_price)
    return parser


def _serve(parsed: argparse.Namespace) -> int:
    structlog.configure(
        processors=[
            structlog.processors.add_log_level,
            structlog.processors.TimeStamper(fmt="iso", utc=True),
            structlog.processors.format_exc_info,
            structlog.processors.JSONRenderer(serializer=lambda event, **_: msgspec.json.encode(event)),
        ],
        logger_factory=structlog.BytesLoggerFactory(),
        cache_logger_on_first_use=True,
    )
    app = create_app(load(parsed.data))
    uvicorn.run(app, host=parsed.host, port=parsed.port, access_log=False, server_header=False, log_level="warning")
    return 0


def _price(parsed: argparse.Namespace) -> int:
    try:
        body = sys.stdin.buffer.read() if parsed.file == "-" else Path(parsed.file).read_bytes()
    except OSError as error:
        print(f"{parsed.file}: cannot be read ({error.strerror})", file=sys.stderr)
        return 1
    try:
        answer = load(parsed.data).price(decode(body))
    except Refusal as refusal:
        for fault in refusal.faults:
            print(f"{fault.pointer or '/'}: {fault.message}", file=sys.stderr)
        return 1
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
    for assumed in answer.assumed:
        console.print(f"assumed {assumed.pointer}: {assumed.value} ({assumed.why})", markup=False, soft_wrap=True)


if __name__ == "__main__":
    sys.exit(main())
