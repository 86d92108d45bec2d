"""An input cut into shards at line ends, by its bytes alone; and the lines of one shard, each within bounds."""

from collections.abc import Iterator
from pathlib import Path
from typing import Final

from msgspec import Struct

from tallyplate.bulk.files import by_lines, remote
from tallyplate.orders import BYTE_ORDER_MARK, portfolio
from tallyplate.rates.files import DataError

SHARD: Final = 64 * 1024
"""Bytes after which a shard ends with its line: a hundred rows or so, a fraction of a second of work to lose."""

BLOCK: Final = 64 * 1024
"""Bytes that are read at once."""

FETCHED: Final = 8 * 1024 * 1024
"""Bytes that are fetched at once from storage behind a URL while a file is cut."""

MAX_LINE: Final = 64 * 1024
"""Longest line in bytes with its end; a request over HTTP is no longer."""


class Shard(Struct, frozen=True):
    """Bytes `start` to `end` of a file, which begin with line `first`; lines are counted from 1."""

    number: int
    start: int
    end: int
    first: int
    lines: int


class Cut(Struct, frozen=True):
    """A file in shards, in order. `header` is the line that names the columns of a table."""

    path: Path
    shards: tuple[Shard, ...]
    header: bytes = b""


def cut(path: Path, size: int = SHARD) -> Cut:
    """Cut a file into shards of at least so many bytes but for the last."""
    shards: list[Shard] = []
    offset, start, first, line, line_ended = 0, 0, 1, 1, True
    with path.open("rb", buffering=FETCHED if remote(path) else -1) as file:
        while block := file.read(BLOCK):
            begun = 0
            while (end := block.find(b"\n", max(begun, start + size - offset - 1))) >= 0:
                line += block.count(b"\n", begun, end + 1)
                begun = end + 1
                shards.append(Shard(len(shards), start, offset + begun, first, line - first))
                start, first = offset + begun, line
            line += block.count(b"\n", begun)
            offset += len(block)
            line_ended = block.endswith(b"\n")
    if start < offset:
        shards.append(Shard(len(shards), start, offset, first, line - first + (not line_ended)))
    return Cut(path, tuple(shards), _header(path, shards) if is_table(path) else b"")


def is_table(path: Path) -> bool:
    """Whether a file's name says that it holds a table."""
    return path.name.lower().endswith(".csv")


def _header(path: Path, shards: list[Shard]) -> bytes:
    """The first line with any cell. Raises `DataError` for one that is no header."""
    before: list[bytes] = []
    for line in lines_of(path, shards[0]) if shards else ():
        before.append(line)
        if line.strip(b' \t\r\n,;"' + BYTE_ORDER_MARK):
            next(portfolio(before, path.name), None)
            return line
    if len(shards) > 1:
        message = f"{path.name}: no header in its first {shards[0].lines} lines; accepted: a line with column names"
        raise DataError(message)
    return b""


def lines_of(path: Path, shard: Shard) -> Iterator[bytes]:
    """The lines of a shard; of one longer than `MAX_LINE` no more than shows that it is."""
    with by_lines(path, BLOCK) as file:
        file.seek(shard.start)
        while file.tell() < shard.end:
            line = file.readline(MAX_LINE + 1)
            yield line
            while not line.endswith(b"\n") and file.tell() < shard.end:
                line = file.readline(BLOCK)


def too_long(line: bytes) -> bool:
    """Whether a line is longer than is accepted."""
    return len(line) > MAX_LINE
