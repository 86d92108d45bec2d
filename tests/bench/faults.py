"""What faults cost, as rows of a table: `python -m tests.bench.faults`. Under load where a fault meets callers."""

import os
import shutil
import signal
import socket
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import httpx

from tests.bench.library import PLATE
from tests.bench.pressure import Served, served
from tests.faults.load import Load, message, under_load
from tests.faults.service import Service, service
from tests.rates.folder import write_data

CALLERS = 16
SECONDS = 5.0
PAUSE = 0.005
"""Seconds for which each caller rests after an answer."""

SENT = message("/v1/prices", PLATE.read_bytes())
DENSE = (
    b'{"plate": {"family": "rectangular", "length": "4000 mm", "width": "2000 mm", "thickness": "20 mm",'
    b' "material": "al-6061-t6", "pattern": {"pitch": "8 mm", "screw": "M5", "arrangement": "combination"}}}'
)


def _rate(load: Load) -> float:
    before = load.answers[200]
    time.sleep(SECONDS)
    return (load.answers[200] - before) / SECONDS


def _seconds(one: Service, holds: Callable[[], bool]) -> float:
    began = time.monotonic()
    one.until(holds)
    return time.monotonic() - began


def killed(folder: Path) -> Iterator[str]:
    """One of two workers is killed."""
    with service(folder, "--workers", "2") as one, under_load(one.port, SENT, CALLERS, PAUSE) as load:
        one.until(lambda: bool(one.lines("workers ready")))
        worker = one.lines("workers ready")[0]["workers"][0]
        before, lost = _rate(load), load.lost
        os.kill(worker, signal.SIGKILL)
        started = _seconds(one, lambda: bool(one.lines("worker died")))
        meanwhile, after = _rate(load) / before, _rate(load) / before
        lost = load.lost - lost
        yield f"{lost} of {CALLERS} callers lost a request; another worker was started after {started:.1f} s"
        yield f"prices a second in the first and the next {SECONDS:.0f} s: {meanwhile:.2f} and {after:.2f} of before"


def vanished(folder: Path) -> Iterator[str]:
    """The folder of rate cards is gone, and comes back."""
    data = folder / "data"
    write_data(data)
    with service(folder, before=("--data", str(data))) as one, under_load(one.port, SENT, CALLERS, 0.2) as load:

        def refused() -> bool:
            return bool(httpx.get(f"{one.url}/health/ready").json()["refused"])

        one.until(lambda: load.answers[200] > 0)
        shutil.move(data, folder / "elsewhere")
        noticed = _seconds(one, refused)
        shutil.move(folder / "elsewhere", data)
        back = _seconds(one, lambda: not refused())
        told = dict(load.answers)
        yield f"readiness says so after {noticed:.1f} s and takes it back {back:.1f} s after its return; answers {told}"


def full_disk(folder: Path) -> Iterator[str]:
    """Nothing can be written where the log goes."""
    rates = []
    for log in (folder / "log", Path("/dev/full")):
        with log.open("wb") as out, served(log=out) as one, under_load(one.port, SENT, CALLERS, PAUSE) as load:
            time.sleep(1.0)
            rates.append((_rate(load), load))
    (written, _), (lost, load) = rates
    told = dict(load.answers)
    yield f"prices a second without a log / with one {lost / written:.2f}; answers {told}, lost {load.lost}"


def hung_up(_: Path) -> Iterator[str]:
    """Clients of large drawings hang up in the middle of their answers."""
    with served() as one:
        before = one.memory()
        for _turn in range(5):
            with socket.create_connection(("127.0.0.1", one.port)) as client:
                client.sendall(message("/v1/drawings", DENSE))
                client.recv(4096)
        yield f"at rest {_at_rest(one):.2f} s after the last of 5; memory {one.memory() / before:.2f} of before"


def _at_rest(one: Served) -> float:
    """Seconds until it works no more."""
    began = last = time.monotonic()
    used = one.processor_seconds()
    while time.monotonic() - last < 1.0:
        time.sleep(0.05)
        if one.processor_seconds() > used + 0.02:
            last, used = time.monotonic(), one.processor_seconds()
    return last - began


if __name__ == "__main__":
    for fault in (killed, vanished, full_disk, hung_up):
        with tempfile.TemporaryDirectory() as place:
            for said in fault(Path(place)):
                print(f"| {(fault.__doc__ or '').rstrip('.')} | {said} |", flush=True)
