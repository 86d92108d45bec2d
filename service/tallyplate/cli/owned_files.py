"""Files that an operator names: what is wrong with one said by its name, and one written for its owner's eyes alone."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tallyplate.contract import Refusal
from tallyplate.rates.files import DataError


@contextmanager
def naming(path: Path) -> Iterator[None]:
    """Turn a refusal of what a file says into a `DataError` that names the file at each fault."""
    try:
        yield
    except Refusal as refusal:
        raise DataError(*(f"{path}: {fault.pointer or '/'}: {fault.message}" for fault in refusal.faults)) from None


def replace_privately(path: Path, content: bytes) -> None:
    """Put a file in the place of one at once, so that nobody reads half of it, and let its owner alone read it."""
    beside = path.with_name(f".{path.name}.new")
    with os.fdopen(os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    beside.replace(path)
