"""`tallyplate cards`: everything that finance does with rate cards and shop data on a folder."""

from typing import Any

from tallyplate.cli import cards_check, cards_compare, cards_files


def add(commands: Any) -> None:  # noqa: ANN401 - argparse keeps the type to itself
    """Add the command and its own commands to the parser."""
    cards = commands.add_parser("cards", help="check, show, compare and convert rate cards")
    inner = cards.add_subparsers(required=True, metavar="COMMAND")
    for part in (cards_check, cards_files, cards_compare):
        part.add(inner)
