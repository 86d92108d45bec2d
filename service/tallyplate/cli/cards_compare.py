"""`tallyplate cards compare`: what another card would do to real orders, before it counts."""

import argparse
import sys
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from decimal import Decimal
from functools import partial
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from tallyplate.cli import cards_worth
from tallyplate.cli.portfolios import ORDERS, change, counted, grid, list_refused, money, reading, tell
from tallyplate.documents.charts import Bar, waterfall
from tallyplate.documents.tables import Cell, Table, write_csv, xlsx_writer
from tallyplate.installation import Installation, load
from tallyplate.orders import Entry
from tallyplate.pricing import Modules
from tallyplate.rates.card import RateCard
from tallyplate.rates.files import DataError, written
from tallyplate.tradeoffs.comparison import Comparison, ModuleDifference
from tallyplate.tradeoffs.draft import draft
from tallyplate.tradeoffs.impact import Impact, OrderImpact, OrderRefused, compared, impact, in_full

Outcome = OrderImpact | OrderRefused

MOVES = ("old", "new", "difference", "%")


def add(commands: Any) -> None:  # noqa: ANN401 - argparse keeps the type to itself
    """Add the commands to the parser."""
    command = commands.add_parser("compare", help="say what another card would do to a portfolio of orders")
    command.add_argument("old", metavar="OLD", help="id of a card of the folder, or a card's file")
    command.add_argument("new", metavar="NEW", help="the same, for the card to compare with")
    command.add_argument("--orders", type=Path, required=True, metavar="FILE", help=ORDERS)
    command.add_argument("--order", type=int, metavar="LINE", help="show the order of this line of the file in full")
    command.add_argument("--csv", type=Path, metavar="OUT", help="write what each order moves by, as CSV")
    command.add_argument("--xlsx", type=Path, metavar="OUT", help="write modules, orders and lines, as XLSX")
    command.add_argument("--svg", type=Path, metavar="OUT", help="draw the way from the old total to the new")
    command.set_defaults(run=_compare)
    cards_worth.add(commands)


def _compare(parsed: argparse.Namespace) -> int:
    try:
        write_xlsx = xlsx_writer() if parsed.xlsx else None
    except ImportError as error:
        print(error, file=sys.stderr)
        return 1
    installation = load(parsed.data)
    today = installation.today()
    old, new = (_card(named, installation) for named in (parsed.old, parsed.new))
    if old.currency != new.currency:
        raise DataError(f"{parsed.new} is in {new.currency}, {parsed.old} in {old.currency}; accepted: one currency")
    a, b = (partial(installation.price_under, card=card, today=today) for card in (old, new))
    modules = [name for name, _ in Modules.of(installation.modules).in_order]
    rows: list[Sequence[Cell]] | None = [] if parsed.csv or parsed.xlsx else None
    wanted: list[Outcome] = []

    def watched(outcomes: Iterable[Outcome]) -> Iterator[Outcome]:
        """What passes by on its way into the totals and is wanted besides."""
        for outcome in outcomes:
            if rows is not None:
                rows.append(_row(outcome, modules))
            if outcome.order == parsed.order:
                wanted.append(outcome)
            yield outcome

    told = partial(in_full, a=a, b=b)
    with reading(parsed.orders) as orders:
        found = impact(watched(_outcomes(orders, installation, old, new, today)), old.currency, modules, told)
    wanted = [told(one) if isinstance(one, OrderImpact) else one for one in wanted]
    _show(found, parsed.old, parsed.new)
    _show_in_full(wanted, parsed.order)
    list_refused(found.refused, {"a": parsed.old, "b": parsed.new})
    table = Table("orders", ("line", *MOVES, *modules, "refused"), rows or [])
    if parsed.csv:
        write_csv(parsed.csv, table)
    if write_xlsx:
        write_xlsx(parsed.xlsx, [_modules(found), table, _lines(found, wanted)])
    if parsed.svg:
        parsed.svg.write_text(_chart(found, parsed.old, parsed.new), "utf-8")
    return 1 if found.refused or (parsed.order is not None and not wanted) else 0


def _outcomes(
    orders: Iterable[Entry], installation: Installation, old: RateCard, new: RateCard, today: date
) -> Iterator[Outcome]:
    """Orders under both cards: those that are alike together, where that is installed."""
    if not find_spec("numpy"):
        a, b = (partial(installation.price_under, card=card, today=today) for card in (old, new))
        return compared(orders, a, b)
    from tallyplate.moving import compared_together  # noqa: PLC0415 - it needs numpy

    return compared_together(orders, installation, old, new, today)


def _card(named: str, installation: Installation) -> RateCard:
    """The card of the folder with that id, or the one that a file makes."""
    for card in installation.cards:
        if card.id == named:
            return card
    path = Path(named)
    if not path.is_file():
        here = ", ".join(card.id for card in installation.cards)
        raise DataError(f"{named}: is neither a card's id nor a file; cards here: {here}")
    _, shop = installation.in_force(installation.today())
    return draft(written(path.name, path.read_bytes()), installation.cards, installation.modules, shop)


def _show(found: Impact, old: str, new: str) -> None:
    """The totals by module, and the orders that move most, for the terminal."""
    by_module = [(one.module, *_moves(one)) for one in found.modules]
    most = [(str(one.order), *_moves(one.comparison)) for one in found.moving_most]
    heading = f"{counted(found.priced, len(found.refused))}, {found.currency}, from {old} to {new}"
    tell(heading, grid(("module",), MOVES, by_module, ("total", *_moves(found))))
    tell("Orders that move most", grid(("line",), MOVES, most))


def _show_in_full(wanted: Sequence[Outcome], line: int | None) -> None:
    """An order line by line; its differences sum to its own."""
    for one in wanted:
        if isinstance(one, OrderImpact):
            lines = [(x.module, x.item, money(x.a), money(x.b), change(x.difference)) for x in one.comparison.lines]
            total = ("total", "", *_moves(one.comparison)[:3])
            tell(f"The order of line {one.order}", grid(("module", "item"), MOVES[:3], lines, total))
    if line is not None and not wanted:
        print(f"line {line}: no order begins here", file=sys.stderr)


def _moves(one: Impact | Comparison | ModuleDifference) -> tuple[str, str, str, str]:
    return money(one.a), money(one.b), change(one.difference), change(one.percent)


def _cells(one: Impact | Comparison | ModuleDifference) -> tuple[Cell, ...]:
    return Decimal(one.a), Decimal(one.b), Decimal(one.difference), Decimal(one.percent) if one.percent else ""


def _row(outcome: Outcome, modules: Sequence[str]) -> tuple[Cell, ...]:
    """An order in a spreadsheet: what it moves by, what each module moves it by, or why it is refused."""
    if isinstance(outcome, OrderRefused):
        reasons = "; ".join(f"{fault.pointer} {fault.message}".strip() for fault in outcome.reasons)
        return (outcome.order, *[""] * (len(MOVES) + len(modules)), reasons)
    moved = {one.module: Decimal(one.difference) for one in outcome.comparison.modules}
    return (outcome.order, *_cells(outcome.comparison), *(moved.get(name, "") for name in modules), "")


def _modules(found: Impact) -> Table:
    rows = [(one.module, *_cells(one)) for one in found.modules]
    return Table("modules", ("module", *MOVES), [*rows, ("total", *_cells(found))])


def _lines(found: Impact, wanted: Iterable[Outcome]) -> Table:
    """The lines of the orders that move most, and of the one that was asked for."""
    shown = {one.order: one.comparison for one in (*found.moving_most, *wanted) if isinstance(one, OrderImpact)}
    rows = [
        (order, line.module, line.item, Decimal(line.a), Decimal(line.b), Decimal(line.difference))
        for order, comparison in shown.items()
        for line in comparison.lines
    ]
    return Table("lines", ("line", "module", "item", *MOVES[:3]), rows)


def _chart(found: Impact, old: str, new: str) -> str:
    steps = [Bar(one.module, Decimal(one.difference)) for one in found.modules if Decimal(one.difference)]
    unit = f"{found.currency}, {found.priced} orders"
    names = Path(old).name, Path(new).name
    return waterfall("Impact of a rate card", Bar(names[0], Decimal(found.a)), steps, names[1], unit)
