"""Requests in files."""

import sys
from pathlib import Path

from tallyplate.inquiry import decode


def request_in(file: str) -> object:
    """The request that a file holds, - for standard input; raises `OSError`, and `Refusal` for what is not JSON."""
    return decode(sys.stdin.buffer.read() if file == "-" else Path(file).read_bytes())
