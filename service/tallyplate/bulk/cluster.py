"""Shards priced by the workers of a Dask cluster, over storage that all of them see; any of them may die.

A task is a shard, and doing one twice does no harm. So what the cluster does about a lost worker, which is to give its
tasks to others, costs time and never a row.
"""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import lru_cache
from importlib.util import find_spec
from itertools import islice
from pathlib import Path
from queue import Empty, SimpleQueue
from typing import Any, Final
from uuid import uuid4

import msgspec
from msgspec.structs import replace

from tallyplate.bulk.ledger import Begun, Done, begun
from tallyplate.bulk.pool import MOST_LOSSES, Task, installed
from tallyplate.bulk.shards import Cut, Shard
from tallyplate.installation import Installation
from tallyplate.rates.files import DataError

AHEAD: Final = 2000
"""Shards that are handed out beforehand: enough for hundreds of workers, and little for a scheduler to hold."""

PATIENCE: Final = 10.0
"""Seconds for a scheduler to answer, and for a first worker to be there."""

LULL: Final = 60.0
"""Seconds without a shard finished after which a cluster without workers is given up."""

SHARED: Final = "accepted: storage that all workers see by one name"


def check_installed() -> None:
    """Raises `DataError` with what to install."""
    if find_spec("distributed") is None:
        message = "a cluster needs distributed, which is not installed: pip install tallyplate[cluster]"
        raise DataError(message)


def priced(task: Task, shards: Sequence[Shard], address: str) -> Iterator[Done]:
    """The records of shards as the workers at an address finish them. Raises `DataError` where they do not."""
    check_installed()
    from distributed import Client  # noqa: PLC0415 - it may be absent

    with _said(address), Client(address, timeout=PATIENCE, set_as_default=False) as client:
        client.wait_for_workers(1, timeout=PATIENCE)
        yield from _handed_out(client, _for_others(task), shards)


@contextmanager
def _said(address: str) -> Iterator[None]:
    """Say what to do about what can happen to a cluster."""
    from distributed import CancelledError, KilledWorker  # noqa: PLC0415 - it may be absent

    try:
        yield
    except KilledWorker as error:
        problem = f"several workers died over {error.task}, for lack of memory perhaps"
    except ModuleNotFoundError as error:
        problem = f"a worker has no module {error.name}; accepted: workers with what is installed here"
    except CancelledError:
        problem = "the scheduler was lost"
    except OSError as error:
        # An error of a file has a number.
        if error.errno:
            raise
        nobody = f"no scheduler answers ({error}); accepted: one that runs, such as tcp://host:8786"
        problem = "has no workers; start some" if isinstance(error, TimeoutError) else nobody
    else:
        return
    message = f"{address}: {problem}. What is finished is kept, and the same command goes on with it"
    raise DataError(message)


def _for_others(task: Task) -> Task:
    """A task as another machine can do it: paths that mean the same there, and no list of all shards."""
    job = task.job
    files = {name: getattr(job, name).absolute() for name in ("source", "target", "quarantine")}
    job = replace(job, data=job.data and job.data.absolute(), **files)
    return replace(task, job=job, of=Cut(task.of.path.absolute(), (), task.of.header))


def _handed_out(client: Any, task: Task, shards: Sequence[Shard]) -> Iterator[Done]:  # noqa: ANN401 - may be absent
    """Hand out a bounded number of shards at a time."""
    waiting, ended, run = iter(shards), SimpleQueue[Any](), uuid4().hex
    running: set[Any] = set()
    while True:
        for shard in islice(waiting, AHEAD - len(running)):
            # A key of its own, or a shard of another run would be taken for it.
            key = f"tallyplate-{run}-{shard.number}"
            future = client.submit(_priced, task, shard, key=key, retries=MOST_LOSSES, pure=False)
            future.add_done_callback(ended.put)
            running.add(future)
        if not running:
            return
        try:
            future = ended.get(timeout=LULL)
        except Empty:
            if not client.nthreads():
                raise TimeoutError from None
            continue
        running.remove(future)
        yield future.result()


def _priced(task: Task, shard: Shard) -> Done:
    """The work of a worker."""
    job = task.job
    try:
        return task.price(shard, _installation(job.data, job.folder, msgspec.json.encode(task.begun)))
    except FileNotFoundError as error:
        message = f"{error.filename or error}: is not there for a worker; {SHARED}"
        raise DataError(message) from None


@lru_cache(maxsize=4)
def _installation(data: Path | None, folder: Path, wanted: bytes) -> Installation:
    """The installation of this worker, for a run whose folder it sees."""
    run = msgspec.json.decode(wanted, type=Begun)
    if begun(folder) != run:
        message = f"{folder}: a worker does not see this run there; {SHARED}"
        raise DataError(message)
    return installed(data, run)
