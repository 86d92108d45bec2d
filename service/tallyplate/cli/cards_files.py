"""`tallyplate cards`: show, describe and convert cards."""

from typing import Any


def add(commands: Any) -> None:  # noqa: ANN401 - argparse keeps the type to itself
    """Add the commands to the parser."""
