"""`tallyplate cards`: show, describe and convert cards."""

import argparse
import sys
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import msgspec
from rich.console import Console
from rich.table import Table

from tallyplate.contract import CostModule, Family
from tallyplate.discovery import COSTS, FAMILIES, demo_data, plugins
from tallyplate.rates.card import RateCard
from tallyplate.rates.dated import in_force
from tallyplate.rates.files import in_folder, snapshot
from tallyplate.rates.kinds import card_type, shop_type
from tallyplate.rates.load import rate_cards
from tallyplate.rates.schema import json_schema
from tallyplate.rates.sheet import Row, rows
from tallyplate.rates.sheet_cells import MAX_BYTES
from tallyplate.rates.sheet_export import workbook
from tallyplate.rates.sheet_import import imported


def add(commands: Any) -> None:  # noqa: ANN401 - argparse keeps the type to itself
    """Add the commands to the parser."""
    schema = commands.add_parser(
        "schema",
        help="write the JSON Schema that editors complete and check files by",
        epilog="An editor of TOML finds it by the first line of a file: #:schema ./rate-card.json",
    )
    schema.add_argument("--kind", choices=("rate-card", "shop-data"), default="rate-card")
    schema.add_argument("--out", type=Path, metavar="FILE", help="where to write it (standard output by default)")
    schema.set_defaults(run=_schema)

    show = commands.add_parser("show", help="show the rate card in force on a date, and where each figure is from")
    show.set_defaults(run=_show)

    export = commands.add_parser("export", help="write the rate card in force on a date as a spreadsheet")
    export.add_argument("sheet", type=Path, metavar="CARD.xlsx")
    export.set_defaults(run=_export)
    for command in (show, export):
        command.add_argument("--as-of", type=_day, metavar="DATE", help="such as 2026-07-01 (today by default)")
        command.add_argument("--folder", type=Path, help="holds rate cards, or rate_cards/ (that of --data by default)")

    back = commands.add_parser(
        "import",
        help="write a rate card from a spreadsheet, checked and in full",
        epilog="A card that inherits is written out in full: its figures and its digest stay the same.",
    )
    back.add_argument("sheet", type=Path, metavar="CARD.xlsx")
    back.add_argument("card", type=Path, metavar="CARD.toml")
    back.set_defaults(run=_import)


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        message = f"{text!r} is not a date, such as 2026-07-01"
        raise argparse.ArgumentTypeError(message) from None


def _schema(parsed: argparse.Namespace) -> int:
    modules = plugins(COSTS, CostModule)
    if parsed.kind == "rate-card":
        made = json_schema(card_type(modules), "Rate card")
    else:
        made = json_schema(shop_type(modules, plugins(FAMILIES, Family)), "Shop data")
    text = msgspec.json.format(msgspec.json.encode(made)) + b"\n"
    if parsed.out:
        _write(parsed.out, text)
    else:
        sys.stdout.write(text.decode())
    return 0


def _show(parsed: argparse.Namespace) -> int:
    card, stated = _in_force(parsed)
    # A table that is piped into a file or another program has all the room that it wants.
    console = Console(markup=False, highlight=False, emoji=False, width=None if sys.stdout.isatty() else 240)
    console.print(f"{card.id}, in force from {card.effective_from} ({card.resolved.file})")
    table = Table(box=None, header_style="bold", pad_edge=False)
    for name in ("section", "key", "figure", "unit", "stated in"):
        table.add_column(name, justify="right" if name == "figure" else "left", overflow="fold")
    section = ""
    for row in stated:
        if row.figure is not None:
            shown = row.section if row.section != section else ""
            section = row.section
            table.add_row(shown, row.key, str(row.figure), row.unit, row.origin)
    console.print(table)
    console.print(f"digest {card.digest}", soft_wrap=True)
    return 0


def _export(parsed: argparse.Namespace) -> int:
    card, stated = _in_force(parsed)
    _write(parsed.sheet, workbook(stated))
    print(f"{parsed.sheet}: {card.id}, digest {card.digest}")
    return 0


def _import(parsed: argparse.Namespace) -> int:
    with parsed.sheet.open("rb") as file:
        content = file.read(MAX_BYTES + 1)
    made = imported(parsed.sheet.name, content, plugins(COSTS, CostModule))
    _write(parsed.card, made.toml.encode())
    print(f"{parsed.card}: {made.card.id}, digest {made.card.digest}")
    return 0


def _in_force(parsed: argparse.Namespace) -> tuple[RateCard, list[Row]]:
    """The card in force on the date that is asked for, and its rows."""
    modules = plugins(COSTS, CostModule)
    folder = parsed.folder or (parsed.data or demo_data()) / "rate_cards"
    folder = folder / "rate_cards" if (folder / "rate_cards").is_dir() else folder
    cards = rate_cards(folder, modules, examples=not (parsed.folder or parsed.data))
    today = datetime.now(UTC).astimezone(cards[-1].time_zone).date()
    card = in_force(cards, parsed.as_of or today, None, "rate_card")
    files = snapshot(folder).items()
    texts = {in_folder(folder, name): content.decode(errors="replace") for name, content in files}
    return card, [*rows(card, modules, texts)]


def _write(path: Path, content: bytes) -> None:
    """Write a file whole or not at all, since a service may be reading the folder; anything else is written to."""
    if not (path.is_file() or (path.parent.is_dir() and not path.exists())):
        path.write_bytes(content)
        return
    path = path.resolve()
    beside = path.with_name(f".{path.name}.new")
    beside.write_bytes(content)
    beside.replace(path)
