"""A bulk run from beginning to end: cut, priced shard by shard, joined."""

import errno
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from hashlib import file_digest
from importlib.util import find_spec
from pathlib import Path
from typing import Final

from tallyplate.bulk import cluster, parquet
from tallyplate.bulk.files import remote, remove, whole
from tallyplate.bulk.formats import format_of
from tallyplate.bulk.job import Job, Totals, Watch
from tallyplate.bulk.ledger import OUT, QUARANTINE, RUN, Begun, Done, begin, begun, clear, done, locked, part
from tallyplate.bulk.pool import Task, priced
from tallyplate.bulk.shards import SHARD, cut
from tallyplate.bulk.work import TOTALS
from tallyplate.installation import Installation, load
from tallyplate.rates.files import DataError

FULL: Final = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}
"""How a system says that there is no room for more of a file."""

STAGED: Final = "rows.ndjson"
"""The rows of a Parquet file, which cannot be cut at any byte, as lines that can."""


def silent(_: str, __: int, ___: int) -> None:
    """Watches nothing."""


def run(job: Job, workers: int | str = 1, watch: Watch = silent, *, restart: bool = False, size: int = 0) -> Totals:
    """Price a file into another, or go on where an earlier run of the same was stopped; `restart` begins anew.

    The work is done by so many processes here, or by the workers of the cluster at an address such as
    `tcp://host:8786`. Until the outputs are complete nothing stands at their places but what was there before. Shards
    are of `size` bytes, or as large as is usual. Raises `DataError` with what stands in the way, and `OSError`.
    """
    size = size or (TOTALS if job.lines == "none" else SHARD)
    _check(job, restart=restart)
    installation = load(job.data)
    with _room(job), locked(job.folder):
        if restart:
            clear(job.folder)
        before = job.source.stat()
        wanted = _wanted(job, installation, size)
        begin(job.folder, wanted)
        of = parquet.cut(job.source, size) if parquet.in_columns(job) else cut(_lines(job), size)
        records = _records(Task(job, of, wanted), installation, workers, watch)
        after = job.source.stat()
        if (before.st_mtime_ns, before.st_size) != (after.st_mtime_ns, after.st_size):
            message = f"{job.source}: changed while it was read; run the command again with --restart"
            raise DataError(message)
        _join(job, records, watch)
        remove(job.folder)
    return sum((record.totals for record in records), Totals())


def _check(job: Job, *, restart: bool) -> None:
    """Refuse what would go wrong, or harm a file, before anything is written."""
    if not job.source.is_file():
        message = f"{job.source}: is no file; accepted: a file that can be read again"
        raise DataError(message)
    files = (job.source, job.target, job.quarantine)
    if len({path.resolve() for path in files}) < len(files):
        message = f"{job.target}: input, output and quarantine are one file; accepted: a file each"
        raise DataError(message)
    for path in (job.source, job.target):
        format_of(path)
    if job.lines == "none" and find_spec("numpy") is None:
        message = "totals alone need numpy, which is not installed: pip install tallyplate[bulk]"
        raise DataError(message)
    for path in (job.target, job.quarantine):
        if not remote(path) and not path.parent.is_dir():
            message = f"{path}: its folder is not there; accepted: a path in a folder that is"
            raise DataError(message)
    if job.target.exists() and not restart and not (job.folder / RUN).exists():
        message = f"{job.target}: is there already; accepted: another name, or --restart to make it anew"
        raise DataError(message)


def _wanted(job: Job, installation: Installation, size: int) -> Begun:
    """What this run depends on. The date of rows that state none is that of the run's beginning, whenever it ends."""
    before = begun(job.folder)
    with job.source.open("rb") as file:
        digest = file_digest(file, "sha256").hexdigest()
    return Begun(
        input=digest,
        input_format=job.source.suffix.lower(),
        output_format=job.target.suffix.lower(),
        lines=job.lines,
        shard_size=size,
        today=job.today or (before.today if before else installation.today()),
        rate_cards=tuple(card.digest for card in installation.cards),
        shop_data=tuple(shop.digest for shop in installation.shops),
        versions=installation.versions,
    )


def _lines(job: Job) -> Path:
    """The rows of the input as lines of a file."""
    if job.source.suffix.lower() != ".parquet":
        return job.source
    staged = job.folder / STAGED
    with whole(staged) as file:
        file.writelines(parquet.requests(job.source))
    return staged


def _records(task: Task, installation: Installation, workers: int | str, watch: Watch) -> list[Done]:
    """The records of all shards: those that are done, and those that are made now."""
    shards = task.of.shards
    found = {record.number: record for shard in shards if (record := done(task.job.folder, shard.number))}
    todo = [shard for shard in shards if shard.number not in found]
    lines, finished = sum(shard.lines for shard in shards), sum(shards[number].lines for number in found)
    watch("pricing", finished, lines)
    made = (
        cluster.priced(task, todo, workers) if isinstance(workers, str) else priced(task, todo, installation, workers)
    )
    for record in made:
        found[record.number] = record
        finished += shards[record.number].lines
        watch("pricing", finished, lines)
    return [found[shard.number] for shard in shards]


def _join(job: Job, records: Sequence[Done], watch: Watch) -> None:
    """Put the parts together. The target comes last, so that where it is, all is."""

    def parts(name: str) -> Iterator[bytes]:
        for count, record in enumerate(records, start=1):
            yield part(job.folder, record, name)
            watch(f"joining {name}", count, len(records))

    with whole(job.quarantine, durable=True) as file:
        file.writelines(parts(QUARANTINE))
    with whole(job.target, durable=True) as file:
        format_of(job.target).join(file, parts(OUT), job.lines)


@contextmanager
def _room(job: Job) -> Iterator[None]:
    """Say what to do where the disk is full."""
    try:
        yield
    except OSError as error:
        if error.errno not in FULL:
            raise
        message = (
            f"{job.target}: no room on the disk ({error.strerror}). No half of it was left there, and what is finished "
            f"stands in {job.folder}: make room and run the same command again to go on"
        )
        raise DataError(message) from error
