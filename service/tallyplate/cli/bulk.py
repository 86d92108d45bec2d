"""`tallyplate bulk`: price every row of a file into another, on all cores or on a cluster."""

import argparse
import os
import re
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any, Final, get_args

import msgspec
from rich.console import Console
from rich.progress import BarColumn, Progress, Task, TaskProgressColumn, TextColumn, TimeRemainingColumn
from rich.text import Text

from tallyplate.bulk.files import place
from tallyplate.bulk.job import Job, Lines, Totals, Watch
from tallyplate.bulk.run import run
from tallyplate.cli.portfolios import grid, money, tell
from tallyplate.rates.files import DataError

SOME_QUARANTINED: Final = 3
"""The exit code of a run that is complete, with rows that could not be priced."""

INTERRUPTED: Final = 130


def add(commands: Any) -> None:  # noqa: ANN401 - argparse keeps the type to itself
    """Add the command to the parser."""
    command = commands.add_parser(
        "bulk",
        help="price every row of a file into another, on all cores",
        epilog=(
            "Suffixes say what files hold: .csv, .parquet, else a request a line (NDJSON). However a run is stopped, "
            "the same command goes on with it. "
            f"Exit codes: 0 all rows priced, {SOME_QUARANTINED} some quarantined, 1 not done."
        ),
    )
    command.add_argument("source", type=_place, metavar="IN")
    command.add_argument("target", type=_place, metavar="OUT")
    command.add_argument(
        "--quarantine", type=_place, metavar="FILE", help="rows without a price (OUT.quarantine.ndjson)"
    )
    command.add_argument(
        "--lines",
        choices=get_args(Lines),
        help="a record for each plate with its lines inside, or one for each line (nested; flat in CSV); none: the "
        "total of each plate alone, without checks, many plates at once",
    )
    command.add_argument("--as-of", type=_day, metavar="DATE", help="the date of rows that state none")
    command.add_argument("--workers", type=_count, default=_cores(), metavar="N", help="processes (all cores)")
    command.add_argument(
        "--cluster",
        type=_address,
        metavar="ADDRESS",
        help="workers of a Dask scheduler, such as tcp://host:8786, in place of processes here; IN, OUT and its folder "
        "are then paths or URLs that mean the same to all of them",
    )
    command.add_argument("--restart", action="store_true", help="begin anew, whatever an earlier run left or made")
    command.add_argument("--json", action="store_true", help="print the totals as JSON instead of a table")
    command.set_defaults(run=_bulk)


def _count(text: str) -> int:
    if not re.fullmatch("[1-9][0-9]{0,3}", text):
        message = f"{text!r} is not a number of processes; accepted: 1 to 9999"
        raise argparse.ArgumentTypeError(message)
    return int(text)


def _address(text: str) -> str:
    if not re.fullmatch(r"(tcp|tls)://[^/\s]+:[0-9]{1,5}", text):
        message = f"{text!r} is not the address of a scheduler; accepted: one such as tcp://host:8786"
        raise argparse.ArgumentTypeError(message)
    return text


def _place(text: str) -> Path:
    try:
        return place(text)
    except DataError as error:
        raise argparse.ArgumentTypeError("; ".join(error.problems)) from None


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        message = f"{text!r} is not a date; accepted: a date such as 2026-03-02"
        raise argparse.ArgumentTypeError(message) from None


def _cores() -> int:
    """The cores that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _bulk(parsed: argparse.Namespace) -> int:
    target: Path = parsed.target
    quarantine = parsed.quarantine or target.with_name(f"{target.name}.quarantine.ndjson")
    lines: Lines = parsed.lines or ("flat" if target.suffix.lower() == ".csv" else "nested")
    job = Job(parsed.source, target, quarantine, lines, parsed.data, parsed.as_of)
    try:
        with _progress() as watch:
            totals = run(job, parsed.cluster or parsed.workers, watch, restart=parsed.restart)
    except KeyboardInterrupt:
        print(f"stopped; what is finished stands in {job.folder}, the same command goes on", file=sys.stderr)
        return INTERRUPTED
    if parsed.json:
        print(msgspec.json.encode(totals).decode())
    else:
        _show(totals)
    if totals.quarantined:
        print(f"{totals.quarantined:,} rows without a price: {quarantine}", file=sys.stderr)
    return SOME_QUARANTINED if totals.quarantined else 0


def _show(totals: Totals) -> None:
    """The money by module."""
    heading = f"{totals.rows:,} rows: {totals.priced:,} priced, {totals.quarantined:,} quarantined"
    if not totals.money:
        print(heading)
    for currency, modules in sorted(totals.money.items()):
        whole = sum(modules.values(), Decimal())
        rows = [(module, money(str(amount)), _share(amount, whole)) for module, amount in modules.items()]
        tell(f"{heading}; {currency}", grid(("module",), ("amount", "%"), rows, ("total", money(str(whole)), "")))


def _share(amount: Decimal, whole: Decimal) -> str:
    return f"{100 * amount / whole:.1f}" if whole else ""


class _Rate(TextColumn):
    """Rows a second."""

    def render(self, task: Task) -> Text:
        """Nothing until it is known."""
        return Text(f"{task.speed:,.0f} a second" if task.speed else "", style="progress.data.speed")


@contextmanager
def _progress() -> Iterator[Watch]:
    """A bar with rate and time left on standard error, and only where somebody sees it."""
    words = TextColumn("{task.description} {task.completed:,.0f} of {task.total:,.0f}")
    columns = (words, BarColumn(), TaskProgressColumn(), _Rate(""), TimeRemainingColumn())
    seen = sys.stderr.isatty()
    with Progress(
        *columns, console=Console(stderr=True), transient=True, disable=not seen, speed_estimate_period=60
    ) as bar:
        tasks: dict[str, Any] = {}

        def watch(what: str, finished: int, whole: int) -> None:
            if what not in tasks:
                tasks[what] = bar.add_task(what, total=whole, completed=finished)
            bar.update(tasks[what], completed=finished)

        yield watch
