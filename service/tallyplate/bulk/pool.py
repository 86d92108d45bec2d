"""Shards priced by several processes, which end with the one that began them, and of which one may die."""

import os
import signal
import threading
from collections.abc import Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from functools import cache
from itertools import islice
from multiprocessing import get_context, parent_process
from multiprocessing.connection import wait as wait_for
from pathlib import Path
from typing import Final

from msgspec import Struct

from tallyplate.bulk.job import Job
from tallyplate.bulk.ledger import Begun, Done
from tallyplate.bulk.shards import Cut, Shard
from tallyplate.bulk.work import price_shard
from tallyplate.installation import Installation, load
from tallyplate.rates.files import DataError

MOST_LOSSES: Final = 3
"""Workers that may die before the run is given up."""

AHEAD: Final = 4
"""Shards a worker that are handed out beforehand."""


class Task(Struct, frozen=True):
    """What all shards of a run have in common."""

    job: Job
    of: Cut
    begun: Begun

    def price(self, shard: Shard, installation: Installation) -> Done:
        """Price one shard."""
        if self.job.lines == "none":
            from tallyplate.bulk.totals import price_totals  # noqa: PLC0415 - numpy may be absent

            return price_totals(self.job, self.of, shard, installation, self.begun.today)
        return price_shard(self.job, self.of, shard, installation, self.begun.today)


def priced(task: Task, shards: Sequence[Shard], installation: Installation, workers: int) -> Iterator[Done]:
    """The records of shards as they are finished: here, or by so many processes where there is work for them."""
    workers = min(workers, len(shards))
    if workers <= 1:
        yield from (task.price(shard, installation) for shard in shards)
        return
    missing = {shard.number: shard for shard in shards}
    for _ in range(MOST_LOSSES):
        try:
            for record in _pooled(task, list(missing.values()), workers):
                del missing[record.number]
                yield record
        except BrokenProcessPool:
            continue
        return
    message = (
        f"{MOST_LOSSES} times a worker ended by itself: killed, for lack of memory perhaps, or it could not start. "
        "What is finished is kept: run the same command again with fewer --workers to go on"
    )
    raise DataError(message)


def _pooled(task: Task, shards: Sequence[Shard], workers: int) -> Iterator[Done]:
    """Hand out a few shards at a time, so that a long list of them takes no memory."""
    waiting = iter(shards)
    running: set[Future[Done]] = set()
    # Spawned, not forked: a forked process would hold its siblings' pipes open, and not see its parent die.
    pool = ProcessPoolExecutor(workers, get_context("spawn"), initializer=_begin, initargs=(task,))
    try:
        while True:
            running |= {pool.submit(_priced, shard) for shard in islice(waiting, AHEAD * workers - len(running))}
            if not running:
                return
            finished, running = wait(running, return_when=FIRST_COMPLETED)
            for one in finished:
                yield one.result()
    finally:
        pool.shutdown(cancel_futures=True)


def _begin(task: Task) -> None:
    """Make ready a process that is to price shards."""
    _given.append(task)
    # Ctrl-C reaches every process of a terminal; the one that began the run decides.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


_given: list[Task] = []


def _end_with_parent() -> None:
    parent = parent_process()
    if parent:
        wait_for([parent.sentinel])
        os._exit(1)


@cache
def _installation() -> Installation:
    """The installation of this process."""
    (task,) = _given
    return installed(task.job.data, task.begun)


def installed(data: Path | None, begun: Begun) -> Installation:
    """The installation here. Raises `DataError` where it is not the one that the run was begun with."""
    installation = load(data)
    cards, shops = (tuple(one.digest for one in many) for many in (installation.cards, installation.shops))
    if (cards, shops) != (begun.rate_cards, begun.shop_data):
        message = (
            f"{data or 'the demonstration data'}: changed while the run began, or differs between machines; "
            "accepted: the same everywhere, then run the same command again"
        )
        raise DataError(message)
    if installation.versions != begun.versions:
        message = f"a worker has {installation.versions}, the run was begun with {begun.versions}; accepted: the same"
        raise DataError(message)
    return installation


def _priced(shard: Shard) -> Done:
    (task,) = _given
    return task.price(shard, _installation())
