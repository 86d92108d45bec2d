"""`tallyplate cards check`: prove a folder before it is deployed."""

import argparse
from datetime import date
from pathlib import Path
from typing import Any

import msgspec
from msgspec import Struct

from tallyplate import proof
from tallyplate.installation import load
from tallyplate.rates.dated import in_force_together
from tallyplate.rates.files import DataError
from tallyplate.rates.load import resolved_folder


class Proved(Struct, frozen=True):
    """A rate card and shop data that are in force together, and on how many plates they keep the laws."""

    rate_card: str
    shop_data: str
    plates: int


class Outcome(Struct, frozen=True):
    """What is wrong with a folder, what looks odd, what was not looked at, and what was proved."""

    problems: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    proved: tuple[Proved, ...] = ()


def add(commands: Any) -> None:  # noqa: ANN401 - argparse keeps the type to itself
    """Add the commands to the parser."""
    check = commands.add_parser("check", help="prove a folder of rate cards and shop data before it is deployed")
    check.add_argument("folder", metavar="FOLDER", type=Path, help="holds rate_cards/ and shop_data/")
    check.add_argument(
        "--since",
        type=date.fromisoformat,
        metavar="DATE",
        help="try the laws only on what is in force from then on",
    )
    check.add_argument("--json", action="store_true", help="print the outcome as JSON")
    check.set_defaults(run=_check)


def _check(parsed: argparse.Namespace) -> int:
    outcome = check(parsed.folder, parsed.since)
    if parsed.json:
        print(msgspec.json.encode(outcome).decode())
    else:
        _show(outcome)
    return 1 if outcome.problems else 0


def _show(outcome: Outcome) -> None:
    for problem in outcome.problems:
        print(problem)
    for warning in outcome.warnings:
        print(f"warning: {warning}")
    for note in outcome.notes:
        print(f"note: {note}")
    for one in outcome.proved:
        print(f"rate card {one.rate_card} with shop data {one.shop_data}: every law holds on {one.plates} plates")


def check(folder: Path, since: date | None = None) -> Outcome:
    """Everything that can be said of a folder; its laws only where it can be loaded."""
    try:
        installation, shop_files = load(folder), resolved_folder(folder / "shop_data")
    except DataError as error:
        return Outcome(error.problems)
    cards, shops = installation.cards, installation.shops
    problems = list(proof.gaps(cards, shops, shop_files))
    warnings = [
        *proof.far_moves([card.resolved for card in cards]),
        *proof.far_moves([shop_files[shop.id] for shop in shops]),
    ]
    notes, proved = [], []
    for card, shop in in_force_together(cards, shops, since):
        broken = list(proof.broken_laws(installation, card, shop))
        problems += broken
        if not broken:
            scope = proof.scope(installation, card, shop)
            notes += [f"no law was tried on {left_out}" for left_out in scope.left_out]
            proved.append(Proved(card.id, shop.id, scope.plates))
    # What is wrong with a card by itself is found once for each of its pairs, and said once.
    return Outcome(tuple(dict.fromkeys(problems)), tuple(warnings), tuple(dict.fromkeys(notes)), tuple(proved))
