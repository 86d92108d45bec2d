"""Reading the files of a folder: TOML, bounded, and a digest of what they say."""

import tomllib
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path
from typing import Any

import msgspec

MAX_BYTES = 1_000_000
"""Largest file that is read; a card is a few kilobytes."""


class DataError(Exception):
    """Rate cards or shop data that cannot be used. `problems` name file, key and reason, one each."""

    def __init__(self, *problems: str) -> None:
        super().__init__("\n".join(problems))
        self.problems = problems


def read(path: Path) -> dict[str, Any]:
    """The data of one TOML file; raises `DataError` with the file's name."""
    try:
        content = path.read_bytes()
    except OSError as error:
        message = f"{path.name}: cannot be read ({error.strerror})"
        raise DataError(message) from None
    if len(content) > MAX_BYTES:
        message = f"{path.name}: {len(content)} bytes; accepted: at most {MAX_BYTES}"
        raise DataError(message)
    try:
        return tomllib.loads(content.decode("utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError, RecursionError) as error:
        message = f"{path.name}: is not TOML: {error}"
        raise DataError(message) from None


def folder(path: Path) -> Iterator[Path]:
    """The TOML files of a folder, by name; raises `DataError` where there are none."""
    files = sorted(path.glob("*.toml"))
    if not files:
        message = f"{path}: no .toml file here"
        raise DataError(message)
    return iter(files)


def digest(data: dict[str, Any]) -> str:
    """SHA-256 of the data in canonical JSON, so that spacing, comments and the order of keys do not count."""
    return sha256(msgspec.json.encode(data, order="sorted")).hexdigest()
