"""What is known of a run on disk: what it was begun with, and each shard that is done.

A shard is done when its record is there, and its parts are those that the record names by digest. So nothing has to be
forced to the disk on the way: what a power cut takes is missed by its digest, and made again.
"""

import fcntl
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from hashlib import sha256
from pathlib import Path
from typing import Any, cast
from uuid import uuid4

import msgspec
from msgspec import Struct

from tallyplate.answers import Versions
from tallyplate.bulk.files import beside, listed, remote, remove, whole
from tallyplate.bulk.job import Lines, Totals
from tallyplate.rates.files import DataError

RUN, LOCK = "run.json", "lock"

OUT, QUARANTINE = "out", "quarantine"
"""The parts of a shard."""


class Begun(Struct, frozen=True):
    """What a run depends on. A later run goes on with its shards only where all of it is the same."""

    input: str
    input_format: str
    output_format: str
    lines: Lines
    shard_size: int
    today: date
    rate_cards: tuple[str, ...]
    shop_data: tuple[str, ...]
    versions: Versions
    layout: int = 2
    """Of the folder; a change of what shards hold counts it up."""


class Done(Struct, frozen=True):
    """A shard's record: what it came to, and its parts by SHA-256 digest."""

    number: int
    digests: dict[str, str]
    totals: Totals


@contextmanager
def locked(folder: Path) -> Iterator[None]:
    """Keep a second run off; the lock ends with the process, however it ends. Storage behind a URL has no locks."""
    folder.mkdir(exist_ok=True)
    if remote(folder):
        yield
        return
    with (folder / LOCK).open("wb") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            message = f"{folder}: another run is at work here; accepted: one at a time"
            raise DataError(message) from None
        yield


def begun(folder: Path) -> Begun | None:
    """What the run of a folder was begun with, if any was."""
    return cast("Begun | None", _read(folder / RUN, Begun))


def begin(folder: Path, wanted: Begun) -> None:
    """Begin a run, or go on with one that was begun with the same.

    Raises `DataError` where shards are done of a run that was begun with something else, and where the folder holds
    files of others.
    """
    before = begun(folder)
    if before == wanted:
        return
    if before and any(folder.glob("*/*.done")):
        names = [name for name in Begun.__struct_fields__ if getattr(before, name) != getattr(wanted, name)]
        message = (
            f"{folder}: holds a run that was begun with another {', '.join(names)}; "
            "accepted: the same, or --restart to begin anew"
        )
        raise DataError(message)
    run = folder / RUN
    if before is None and any(path.name not in {LOCK, beside(run).name} for path in listed(folder)):
        message = f"{folder}: holds files, but no record of a run; accepted: an empty folder, or --restart to empty it"
        raise DataError(message)
    clear(folder)
    with whole(run, durable=True) as file:
        file.write(msgspec.json.encode(wanted))


def clear(folder: Path) -> None:
    """Remove all but the lock; the record of the run last, since without it nothing else counts."""
    for path in sorted(listed(folder), key=lambda path: path.name == RUN):
        if path.is_dir():
            remove(path)
        elif path.name != LOCK:
            path.unlink()


def commit(folder: Path, number: int, parts: dict[str, bytes], totals: Totals) -> Done:
    """Write a shard's parts, then its record; again by somebody else at the same time does no harm."""
    done = Done(number, {name: sha256(content).hexdigest() for name, content in parts.items()}, totals)
    path_of(folder, number, "done").parent.mkdir(exist_ok=True)
    mark = f".{uuid4().hex}"
    for name, content in {**parts, "done": msgspec.json.encode(done)}.items():
        with whole(path_of(folder, number, name), mark=mark) as file:
            file.write(content)
    return done


def done(folder: Path, number: int) -> Done | None:
    """A shard's record, if it is done."""
    record = _read(path_of(folder, number, "done"), Done)
    if record is None:
        return None
    try:
        for name in record.digests:
            part(folder, record, name)
    except (DataError, FileNotFoundError):
        return None
    return cast("Done", record)


def part(folder: Path, record: Done, name: str) -> bytes:
    """A part of a shard. Raises `DataError` where it is not what was written."""
    path = path_of(folder, record.number, name)
    content = path.read_bytes()
    if sha256(content).hexdigest() != record.digests[name]:
        message = f"{path}: is no longer what was written; run the same command again to make it anew"
        raise DataError(message)
    return content


def path_of(folder: Path, number: int, name: str) -> Path:
    """Where a part of a shard, or its record, stands: a thousand shards a folder."""
    return folder / f"{number // 1000:06d}" / f"{number % 1000:03d}.{name}"


def _read(path: Path, kind: type[Any]) -> Any:  # noqa: ANN401 - one of the records
    """A record, or none where it is not there or not whole."""
    try:
        return msgspec.json.decode(path.read_bytes(), type=kind)
    except (FileNotFoundError, msgspec.DecodeError):
        return None
