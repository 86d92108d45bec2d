"""Reading the command line, and one place where a command's failure becomes a message and an exit code."""

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from tallyplate.cli import alternatives, ask, bulk, cards, effects, keys, plugins, prices, quotes, reading, serving
from tallyplate.contract import Refusal
from tallyplate.discovery import PluginError
from tallyplate.pricing import PluginFailure
from tallyplate.rates.files import DataError


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit code: 0 done, 1 refused, 2 wrongly called."""
    parsed = _parser().parse_args(arguments)
    try:
        return int(parsed.run(parsed))
    except Refusal as refusal:
        for fault in refusal.faults:
            print(f"{fault.pointer or '/'}: {fault.message}", file=sys.stderr)
    except OSError as error:
        print(f"{error.filename}: {error.strerror}", file=sys.stderr)
    except (DataError, PluginError, PluginFailure) as error:
        print(error, file=sys.stderr)
    return 1


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="tallyplate", description="Prices made-to-order modular fixture plates.")
    parser.add_argument(
        "--data", type=Path, help="folder with rate_cards/ and shop_data/ (the demonstration's by default)"
    )
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    for part in (serving, prices, ask, reading, effects, alternatives, bulk, cards, plugins, keys, quotes):
        part.add(commands)
    return parser
