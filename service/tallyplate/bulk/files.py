"""Files that are there whole or not at all, on this machine or on storage that several machines share."""

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.util import find_spec
from io import BufferedReader, RawIOBase
from pathlib import Path
from tempfile import TemporaryFile
from typing import IO, Any, cast
from urllib.parse import unquote, urlsplit

from tallyplate.rates.files import DataError


def place(text: str) -> Path:
    """A path, or what a URL such as `s3://bucket/in.ndjson` names, which can be used as one.

    Raises `DataError` where what reads such URLs is not installed, and for a kind of URL that it does not know.
    """
    if "://" not in text:
        return Path(text)
    if text.startswith("file://"):
        return Path(unquote(urlsplit(text).path))
    if find_spec("upath") is None:
        message = f"{text}: needs universal-pathlib, which is not installed: pip install tallyplate[cluster]"
        raise DataError(message)
    from upath import UPath  # noqa: PLC0415 - it may be absent

    try:
        # Made by the same names as a path, though it is none to the type checker. Listings are not kept, since others
        # write there too.
        return cast("Path", UPath(text, use_listings_cache=False))
    except (ImportError, ValueError) as error:
        message = f"{text}: cannot be used: {error}; accepted: a path, or a URL whose fsspec package is installed"
        raise DataError(message) from None


def remote(path: object) -> bool:
    """Whether a place is not of this machine's file system."""
    return not isinstance(path, Path)


@contextmanager
def whole(path: Path, *, durable: bool = False, mark: str = "") -> Iterator[IO[bytes]]:
    """A file that takes its name when it is complete; what goes wrong leaves nothing, nor harms what was there.

    A durable one outlasts a power cut from then on. Writers of one file at one time need a `mark` each. On an object
    store a file appears when its last byte is sent.
    """
    if remote(path):
        with TemporaryFile() as made:
            yield cast("IO[bytes]", made)
            made.seek(0)
            with path.open("wb") as file:
                shutil.copyfileobj(made, file)
        return
    begun = beside(path, mark)
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


def beside(path: Path, mark: str = "") -> Path:
    """Where a file stands until it is complete."""
    return path.with_name(f".{path.name}{mark}.part")


def by_lines(path: Path, block: int) -> IO[bytes]:
    """A file to be read by lines that are no longer than is asked for; files behind URLs read whole lines alone."""
    file = path.open("rb", buffering=block)
    return BufferedReader(cast("RawIOBase", file), block) if remote(path) else file


def listed(folder: Path) -> list[Path]:
    """What is in a folder; an object store has no folder in which nothing is."""
    return list(folder.iterdir()) if folder.is_dir() else []


def remove(folder: Path) -> None:
    """Remove a folder with all that is in it."""
    if remote(folder):
        cast("Any", folder).rmdir(recursive=True)
    else:
        shutil.rmtree(folder)


def _sync_folder(folder: Path) -> None:
    """The name of a file is kept by its folder."""
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
