"""`tallyplate cards`: what another card would do."""

from typing import Any


def add(commands: Any) -> None:  # noqa: ANN401 - argparse keeps the type to itself
    """Add the commands to the parser."""
