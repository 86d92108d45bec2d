"""Files that are there whole or not at all."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO


@contextmanager
def whole(path: Path, *, durable: bool = False) -> Iterator[IO[bytes]]:
    """A file that takes its name when it is complete; what goes wrong leaves nothing, nor harms what was there.

    A durable one outlasts a power cut from then on.
    """
    begun = beside(path)
    try:
        with begun.open("wb") as file:
            yield file
            if durable:
                file.flush()
                os.fsync(file.fileno())
        begun.replace(path)
    except BaseException:
        begun.unlink(missing_ok=True)
        raise
    if durable:
        _sync_folder(path.parent)


def beside(path: Path) -> Path:
    """Where a file stands until it is complete."""
    return path.with_name(f".{path.name}.part")


def _sync_folder(folder: Path) -> None:
    """The name of a file is kept by its folder."""
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
