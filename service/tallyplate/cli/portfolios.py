"""What the commands on portfolios share: reading with a progress bar, tables that can be read, and what was refused."""

import sys
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from decimal import Decimal
from pathlib import Path

from rich.console import Console
from rich.progress import Progress
from rich.table import Table
from rich.text import Text

from tallyplate.documents.texts import printable
from tallyplate.orders import Entry, portfolio
from tallyplate.tradeoffs.impact import OrderRefused

ORDERS = "requests, one a line (NDJSON), as a table (.csv) or as one document (.json)"


def progress() -> Progress:
    """A progress bar on standard error, and only where somebody sees it."""
    return Progress(console=Console(stderr=True), transient=True, disable=not sys.stderr.isatty())


@contextmanager
def reading(path: Path) -> Iterator[Iterator[Entry]]:
    """The orders of a file, with a bar for how much of it is read."""
    with progress() as bar, bar.open(path, "rb", description="pricing") as file:
        yield portfolio(file, path.name)


def grid(
    words: Sequence[str], figures: Sequence[str], rows: Iterable[Sequence[str]], total: Sequence[str] = ()
) -> Table:
    """A table with columns of words on the left and of figures on the right; nothing in it is taken for markup."""
    table = Table(header_style="bold", box=None, pad_edge=False)
    for name in words:
        table.add_column(name, overflow="fold")
    for name in figures:
        table.add_column(name, justify="right", no_wrap=True)
    for row in rows:
        table.add_row(*(Text(printable(cell)) for cell in row))
    if total:
        table.add_row(*map(Text, total), style="bold")
    return table


def tell(heading: str, table: Table) -> None:
    """Print a table under a heading, with a line free below."""
    console = Console()
    console.print(Text(printable(heading)), style="bold", soft_wrap=True)
    console.print(table)
    console.print()


def counted(priced: int, refused: int) -> str:
    """How many orders there were, and what became of them."""
    orders = priced + refused
    return f"{orders} order{'s' * (orders != 1)}: {priced} priced, {refused} refused"


def money(amount: str) -> str:
    """An amount with its thousands parted."""
    return f"{Decimal(amount):,f}"


def change(amount: str) -> str:
    """A change with its sign; nothing where nothing is known."""
    return (f"{Decimal(amount):+,f}" if Decimal(amount) else amount) if amount else ""


def list_refused(refused: Iterable[OrderRefused], cards: dict[str, str]) -> None:
    """Name each order that could not be priced, on standard error, by its line and with every reason."""
    for order in refused:
        under = f" (under {cards[order.under]})" if order.under else ""
        for reason in order.reasons:
            pointer = f"{reason.pointer}: " if reason.pointer else ""
            print(printable(f"line {order.order}: {pointer}{reason.message}{under}"), file=sys.stderr)
