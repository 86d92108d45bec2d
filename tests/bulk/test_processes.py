"""The installed command with several processes: the same bytes, whoever is killed."""

import json
import os
import resource
import signal
import subprocess
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.bulk.inputs import BAD, Outputs, job
from tests.plates import MINIMAL, request
from tests.serving import COMMAND

ROWS = 1000
PATIENCE = 60.0

Process = subprocess.Popen[bytes]


def _row(number: int) -> bytes:
    """A plate like no other, in a long line, so that shards are many and each takes a little while."""
    return json.dumps(request({"/plate/width": f"{8 + number / 100:.2f} in"}, MINIMAL)).encode().ljust(2000)


CONTENT = b"\n".join(BAD[number % 7] if number % 50 == 0 else _row(number) for number in range(ROWS))


@pytest.fixture(scope="module")
def undisturbed(tmp_path_factory: pytest.TempPathFactory) -> Outputs:
    """What one process makes of the rows when nothing happens."""
    folder = tmp_path_factory.mktemp("undisturbed")
    made = job(folder, CONTENT)
    assert _finished(_begun(folder, workers=1)) == 3
    return Outputs(made)


def _begun(folder: Path, workers: int = 2, before: Callable[[], None] | None = None) -> Process:
    """The command at work on the rows."""
    command = [COMMAND, "bulk", "in.ndjson", "out.ndjson", "--quarantine", "bad.ndjson", "--workers", str(workers)]
    return subprocess.Popen(command, cwd=folder, stderr=subprocess.PIPE, preexec_fn=before)  # noqa: PLW1509


def _finished(process: Process) -> int:
    """The exit code of a command that runs to its end."""
    process.communicate(timeout=PATIENCE)
    return process.returncode


def _until(true: Callable[[], object], process: Process) -> None:
    """Wait for something to be so while a command runs."""
    deadline = time.monotonic() + PATIENCE
    while not true():
        assert process.poll() is None, "the run was over before anything could happen to it"
        assert time.monotonic() < deadline
        time.sleep(0.002)


def _workers(process: Process) -> list[int]:
    """The workers of a command: its processes that price, by what they were started with."""
    children = Path(f"/proc/{process.pid}/task/{process.pid}/children").read_text(encoding="ascii").split()
    return [int(child) for child in children if b"spawn_main" in Path(f"/proc/{child}/cmdline").read_bytes()]


def _done(folder: Path) -> dict[str, tuple[int, int]]:
    """The shards that are done, with what would tell a record made anew from it."""
    records = {path.name: path.stat() for path in folder.glob("out.ndjson.parts/*/*.done")}
    return {name: (state.st_ino, state.st_mtime_ns) for name, state in records.items()}


def _alive(pid: int) -> bool:
    """Whether a process is there and has not ended."""
    try:
        return b") Z" not in Path(f"/proc/{pid}/stat").read_bytes()
    except FileNotFoundError:
        return False


@pytest.mark.slow
def test_the_number_of_workers_changes_no_byte(tmp_path: Path, undisturbed: Outputs) -> None:
    made = job(tmp_path, CONTENT)
    assert _finished(_begun(tmp_path, workers=3)) == 3
    outputs = Outputs(made)
    assert (outputs.target, outputs.quarantine) == (undisturbed.target, undisturbed.quarantine)
    assert len(outputs.prices) + len(outputs.quarantined) == ROWS


@pytest.mark.slow
def test_neither_a_run_that_is_killed_nor_then_a_worker_loses_or_doubles_a_row(
    tmp_path: Path, undisturbed: Outputs
) -> None:
    made = job(tmp_path, CONTENT)
    process = _begun(tmp_path)
    _until(lambda: _done(tmp_path), process)
    workers = _workers(process)
    os.kill(process.pid, signal.SIGKILL)
    assert _finished(process) == -signal.SIGKILL
    deadline = time.monotonic() + PATIENCE
    while any(map(_alive, workers)):
        assert time.monotonic() < deadline, "a worker outlives its run"
        time.sleep(0.01)
    finished = _done(tmp_path)
    assert workers
    assert not made.target.exists()

    process = _begun(tmp_path)
    _until(lambda: len(_done(tmp_path)) > len(finished), process)
    os.kill(_workers(process)[0], signal.SIGKILL)
    assert _done(tmp_path).items() >= finished.items(), "what was finished is done again"
    assert _finished(process) == 3
    outputs = Outputs(made)
    assert (outputs.target, outputs.quarantine) == (undisturbed.target, undisturbed.quarantine)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["bad.ndjson", "in.ndjson", "out.ndjson"]


@pytest.mark.slow
def test_ctrl_c_stops_a_run_with_a_word_on_how_to_go_on(tmp_path: Path) -> None:
    made = job(tmp_path, CONTENT)
    process = _begun(tmp_path)
    _until(lambda: _done(tmp_path), process)
    os.kill(process.pid, signal.SIGINT)
    said = process.communicate(timeout=PATIENCE)[1].decode()
    assert process.returncode == 130
    assert said == "stopped; what is finished stands in out.ndjson.parts, the same command goes on\n"
    assert not made.target.exists()


@pytest.mark.slow
def test_a_full_disk_is_said_whichever_process_it_stops(tmp_path: Path) -> None:
    made = job(tmp_path, CONTENT)
    process = _begun(tmp_path, before=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (50_000, 50_000)))
    said = process.communicate(timeout=PATIENCE)[1].decode()
    assert process.returncode == 1
    assert said.startswith("out.ndjson: no room on the disk (File too large).")
    assert "make room and run the same command again" in said
    assert not made.target.exists()
