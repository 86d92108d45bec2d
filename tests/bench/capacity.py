"""What a core serves and what a process holds, for service/deploy/capacity.md: `make capacity`.

The service runs as it is deployed: a key on every request, logs and metrics on. Prices per core are answers divided by
the processor time that the service took, so that the client beside it on the same machine does not count.
"""

import asyncio
import subprocess
import tempfile
from collections.abc import Iterator
from math import ceil
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage

import uvloop
from msgspec import Struct

from tests.bench.library import PLATE
from tests.bench.pressure import asked, new_plates, served
from tests.faults.load import message
from tests.serving import COMMAND

DATA = PLATE.parents[2] / "plugins" / "tallyplate_plugins" / "data"

CALLS = 10_000
WARM = 500
CONNECTIONS = 4

LOADS = (1_000, 10_000, 100_000)
"""Prices a second."""

BUSY = 0.6
"""How busy a core is meant to be: as the autoscaler aims for, with the rest for peaks and for a pod that is lost."""

PRICE = 0.05
"""Of a core-hour with its memory, in USD; invented."""

MONTH = 730
"""Hours of a month."""


class Measured(Struct, frozen=True):
    """One kind of request."""

    name: str
    per_core: float
    """Prices for each second of processor time."""
    memory: float
    """Resident memory of the process afterwards, in MB."""
    median: float
    """Time to an answer in ms, at full load."""


def replicas(load: float, per_core: float) -> int:
    """Processes, of one core each, for some prices a second; never fewer than two, so that one can go."""
    return max(2, ceil(load / (per_core * BUSY)))


def core_hours(prices: float, per_core: float) -> float:
    """What some prices take."""
    return prices / (per_core * BUSY) / 3600


def measured() -> Iterator[Measured]:
    """Plates never seen before, then one asked for again and again."""
    with tempfile.TemporaryDirectory() as folder, asyncio.Runner(loop_factory=uvloop.new_event_loop) as runner:
        access, limits = Path(folder) / "access.json", Path(folder) / "limits.toml"
        done = subprocess.run(
            [COMMAND, "key", "new", "bench", "--scopes", "price", "cost", "--access", access],
            capture_output=True,
            text=True,
            check=True,
        )
        limits.write_text("key_rate = 0.0\nwait_seconds = 60.0\n", encoding="utf-8")
        credentials = f"\r\nauthorization: Bearer {done.stdout.strip()}\r\n\r\n".encode()
        again = message("/v1/prices", PLATE.read_bytes())
        kinds = {"a plate never seen before": new_plates(), "the same request again": lambda: again}
        with served("--access", str(access), "--limits", str(limits)) as service:
            for name, sent in kinds.items():
                known = lambda sent=sent: sent().replace(b"\r\n\r\n", credentials, 1)  # noqa: E731
                runner.run(asked(service.port, known, WARM, CONNECTIONS))
                before = service.processor_seconds()
                load = runner.run(asked(service.port, known, CALLS, CONNECTIONS))
                taken = service.processor_seconds() - before
                median = sorted(load.seconds)[len(load.seconds) // 2] * 1000
                yield Measured(name, load.answers[200] / taken, service.memory(), median)


def report() -> Iterator[str]:
    """The tables of the page."""
    # First, since the figure is the largest of all processes that have ended so far.
    subprocess.run([COMMAND, "cards", "check", DATA], stdout=subprocess.DEVNULL, check=True)
    proving = getrusage(RUSAGE_CHILDREN).ru_maxrss / 1000
    rows = list(measured())
    yield "| request | prices per core and second | memory of the process | median answer |"
    yield "|---|---|---|---|"
    for row in rows:
        yield f"| {row.name} | {row.per_core:.0f} | {row.memory:.0f} MB | {row.median:.1f} ms |"
    yield ""
    yield f"| replicas for | {' | '.join(f'{load:,} prices/s' for load in LOADS)} | core-hours a million |"
    yield "|---" * (len(LOADS) + 2) + "|"
    for row in rows:
        counts = " | ".join(f"{replicas(load, round(row.per_core)):,}" for load in LOADS)
        yield f"| {row.name} | {counts} | {core_hours(1e6, round(row.per_core)):.2f} |"
    yield ""
    yield f"| cost of | a million prices | a month of {LOADS[0]:,} prices/s |"
    yield "|---|---|---|"
    for row in rows:
        million = core_hours(1e6, round(row.per_core)) * PRICE
        yield f"| {row.name} | {million:.2f} USD | {replicas(LOADS[0], round(row.per_core)) * MONTH * PRICE:.0f} USD |"
    yield ""
    yield f"A process that proves a changed folder holds at most {proving:.0f} MB beside it."


if __name__ == "__main__":
    for line in report():
        print(line)
