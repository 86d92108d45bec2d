"""Restarts under full keep-alive load: `python -m tests.bench.restart --requests 100000`."""

import argparse
import asyncio
import signal
import tempfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import uvloop

from tests.bench.library import PLATE
from tests.faults.load import Load, keep_asking, message
from tests.faults.service import Service, service

RESTARTS = 10


async def _restarted(served: Service, load: Load, requests: int) -> None:
    """Restart all workers again and again until so many requests are answered, then end the service."""
    sent = message("/v1/prices", PLATE.read_bytes())
    asking = asyncio.create_task(keep_asking(served.port, lambda: sent, load))
    for number in range(1, RESTARTS + 1):
        while load.answers.total() < number * requests / (RESTARTS + 1):  # noqa: ASYNC110 - others count
            await asyncio.sleep(0.05)
        served.process.send_signal(signal.SIGHUP)
        while served.log.read_bytes().count(b'"workers replaced"') < number:  # noqa: ASYNC110 - as above
            await asyncio.sleep(0.5)
    while load.answers.total() < requests:  # noqa: ASYNC110 - others count
        await asyncio.sleep(0.05)
    served.process.send_signal(signal.SIGTERM)
    await asking


def report(requests: int) -> Iterator[str]:
    """How many requests were left without an answer."""
    load = Load(Counter())
    with tempfile.TemporaryDirectory() as folder, service(Path(folder), "--workers", "2") as served:
        with asyncio.Runner(loop_factory=uvloop.new_event_loop) as runner:
            runner.run(_restarted(served, load, requests))
        code = served.process.wait(60)
    yield f"{RESTARTS} rolling restarts and an end under 32 busy connections; exit code {code}"
    yield f"answers {dict(load.answers)}; without an answer {load.lost}; after the end refused {load.refused}"


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--requests", type=int, default=100_000)
    for line in report(parser.parse_args().requests):
        print(line, flush=True)
