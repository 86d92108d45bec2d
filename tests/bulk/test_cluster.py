"""A run on a Dask cluster of real processes: the bytes of a local run, whoever is killed."""

import json
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path

import pytest

from tallyplate.bulk import cluster
from tallyplate.bulk.ledger import begin
from tallyplate.bulk.pool import Task
from tallyplate.bulk.run import _wanted, run
from tallyplate.bulk.shards import cut
from tallyplate.rates.files import DataError
from tests.bulk.inputs import BAD, Outputs, job, order
from tests.bulk.test_processes import _row
from tests.plates import installation

ROWS = 250
PATIENCE = 60.0
CONTENT = b"\n".join(BAD[number % 7] if number % 50 == 0 else _row(number) for number in range(ROWS))
QUIET = ("--no-dashboard", "--host", "127.0.0.1", "--scheduler-file", "scheduler.json")

Process = subprocess.Popen[bytes]


@contextmanager
def _process(folder: Path, *command: str) -> Iterator[Process]:
    """A command at work, killed on the way out."""
    with (folder / "log").open("ab") as log:
        process = subprocess.Popen([sys.executable, "-m", *command], cwd=folder, stderr=log)
        try:
            yield process
        finally:
            process.kill()
            process.wait(timeout=PATIENCE)


def _worker(folder: Path) -> AbstractContextManager[Process]:
    command = ("distributed.cli.dask_worker", *QUIET, "--no-nanny", "--nthreads", "1", "--local-directory", ".")
    return _process(folder, *command)


def _until(true: Callable[[], object], process: Process) -> None:
    deadline = time.monotonic() + PATIENCE
    while not true():
        assert process.poll() is None, "it ended before anything could happen to it"
        assert time.monotonic() < deadline
        time.sleep(0.005)


@pytest.fixture(scope="module")
def scheduler(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """The folder of a running scheduler."""
    pytest.importorskip("distributed")
    folder = tmp_path_factory.mktemp("cluster")
    with _process(folder, "distributed.cli.dask_scheduler", *QUIET, "--port", "0") as process:
        _until((folder / "scheduler.json").exists, process)
        yield folder


def _address(scheduler: Path) -> str:
    return str(json.loads((scheduler / "scheduler.json").read_bytes())["address"])


def test_a_worker_that_is_killed_costs_no_row_and_changes_no_byte(tmp_path: Path, scheduler: Path) -> None:
    (tmp_path / "local").mkdir()
    local = job(tmp_path / "local", CONTENT)
    totals = run(local)
    made = job(tmp_path, CONTENT)
    command = ("tallyplate.cli", "bulk", "in.ndjson", "out.ndjson", "--quarantine", "bad.ndjson")
    with (
        _worker(scheduler) as first,
        _worker(scheduler),
        _process(tmp_path, *command, "--cluster", _address(scheduler)) as process,
    ):
        _until(lambda: any(made.folder.glob("*/*.done")), process)
        first.send_signal(signal.SIGKILL)
        assert not made.target.exists(), "the worker was killed too late to matter"
        assert process.wait(timeout=PATIENCE) == 3, (tmp_path / "log").read_text()
    outputs, wanted = Outputs(made), Outputs(local)
    assert (outputs.target, outputs.quarantine) == (wanted.target, wanted.quarantine)
    assert len(outputs.prices) + len(outputs.quarantined) == totals.rows == ROWS
    assert not made.folder.exists()


def test_a_cluster_that_cannot_work_is_refused_with_the_way_on(
    tmp_path: Path, scheduler: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cluster, "PATIENCE", 0.5)
    made = job(tmp_path, order(1))
    with pytest.raises(DataError, match=r"tcp://127.0.0.1:1: no scheduler answers .* the same command goes on"):
        run(made, "tcp://127.0.0.1:1")
    with pytest.raises(DataError, match=r"has no workers; start some. What is finished is kept"):
        run(made, _address(scheduler))
    assert not made.target.exists()
    assert run(made).priced == 1, "the same command goes on without a cluster too"


def _task(folder: Path) -> Task:
    made = job(folder, order(1))
    made.folder.mkdir()
    return Task(made, cut(made.source), _wanted(made, installation(), 1000))


def test_a_worker_that_does_not_see_the_folder_of_the_run_says_so(tmp_path: Path) -> None:
    task = _task(tmp_path)
    (shard,) = task.of.shards
    with pytest.raises(DataError, match=r"out\.ndjson\.parts: a worker does not see this run there; accepted: storage"):
        cluster._priced(task, shard)
    begin(task.job.folder, task.begun)
    assert cluster._priced(task, shard).totals.priced == 1
    task.job.source.unlink()
    with pytest.raises(DataError, match=r"in\.ndjson: is not there for a worker; accepted: storage that all workers"):
        cluster._priced(task, shard)


def test_what_is_handed_out_means_the_same_elsewhere_and_lists_no_shards(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    task = cluster._for_others(_task(Path()))
    assert (task.job.source, task.of.path) == (tmp_path / "in.ndjson", tmp_path / "in.ndjson")
    assert (task.job.folder, task.of.shards) == (tmp_path / "out.ndjson.parts", ())


def test_without_its_library_a_cluster_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cluster, "find_spec", lambda _: None)
    with pytest.raises(DataError, match=r"pip install tallyplate\[cluster\]"):
        run(job(tmp_path, order(1)), "tcp://127.0.0.1:1")
