"""Reading the files of a folder: TOML, bounded, whole, and a digest of what they say."""

import os
import tomllib
from collections.abc import Mapping
from hashlib import sha256
from pathlib import Path
from typing import Any, Final

import msgspec

from tallyplate.rates.inherit import INHERITS, Written
from tallyplate.rates.lines import key_lines

MAX_BYTES: Final = 1_000_000
"""Largest file that is read; a card is a few kilobytes."""

END: Final = "# end"
"""Last line of a file that inherits: of such a file half is still a whole card, and must not be taken for it."""

MAX_FILES: Final = 1000
"""Most files of one folder; one for each working day of four years."""


class DataError(Exception):
    """Rate cards or shop data that cannot be used. `problems` name file, line, key and reason, one each."""

    def __init__(self, *problems: str) -> None:
        super().__init__("\n".join(problems))
        self.problems = problems


def snapshot(path: Path) -> dict[str, bytes]:
    """Every TOML file of a folder by name, read through one open folder so that a swap of the folder cannot mix two.

    Raises `DataError` where there are none, and where one cannot be read or changes while it is read.
    """
    try:
        folder = os.open(path, os.O_RDONLY | os.O_DIRECTORY)
    except OSError as error:
        message = f"{path}: no .toml file here ({error.strerror})"
        raise DataError(message) from None
    try:
        # Listed by its descriptor, which pathlib cannot do.
        names = sorted(name for name in os.listdir(folder) if name.endswith(".toml"))  # noqa: PTH208
        if not names:
            message = f"{path}: no .toml file here"
            raise DataError(message)
        if len(names) > MAX_FILES:
            message = f"{path}: {len(names)} .toml files; accepted: at most {MAX_FILES}"
            raise DataError(message)
        return {name: _content(folder, name, in_folder(path, name)) for name in names}
    finally:
        os.close(folder)


def in_folder(path: Path, name: str) -> str:
    """A file as messages name it: with its folder, since rate cards and shop data may bear the same name."""
    return f"{path.absolute().name}/{name}"


def _content(folder: int, name: str, shown: str) -> bytes:
    try:
        with os.fdopen(os.open(name, os.O_RDONLY, dir_fd=folder), "rb") as file:
            before = os.fstat(file.fileno())
            if before.st_size > MAX_BYTES:
                message = f"{shown}: {before.st_size} bytes; accepted: at most {MAX_BYTES}"
                raise DataError(message)
            content = file.read(MAX_BYTES + 1)
            after = os.fstat(file.fileno())
    except OSError as error:
        message = f"{shown}: cannot be read ({error.strerror})"
        raise DataError(message) from None
    if (before.st_mtime_ns, before.st_size) != (after.st_mtime_ns, after.st_size) or len(content) != before.st_size:
        message = f"{shown}: changed while it was read"
        raise DataError(message)
    return content


def written(name: str, content: bytes) -> Written:
    """What a file says, and where; raises `DataError` for what is not TOML."""
    try:
        text = content.decode("utf-8")
        data = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, UnicodeDecodeError, RecursionError) as error:
        message = f"{name}: is not TOML: {error}"
        raise DataError(message) from None
    if INHERITS in data and not text.rstrip().endswith(f"\n{END}"):
        message = f"{name}:{len(text.splitlines())}: a file that inherits ends with the line {END!r}"
        raise DataError(message)
    return Written(name, data, key_lines(text))


def read(path: Path) -> dict[str, Any]:
    """The data of one TOML file."""
    return written(path.name, path.read_bytes()).data


def digest(data: Mapping[str, Any]) -> str:
    """SHA-256 of the data in canonical JSON, so that spacing, comments and the order of keys do not count."""
    return sha256(msgspec.json.encode(data, order="sorted")).hexdigest()
