"""Load on a running service, as much as it answers or at a given rate, with health asked meanwhile."""

import asyncio
import itertools
import os
import subprocess
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO

import httpx

from tests.bench.library import PLATE
from tests.faults.load import Caller, Load, keep_asking, message
from tests.serving import COMMAND, free_port

MOST: int = 600
"""Connections of a client that sends at a rate whatever comes back."""

HEALTH = message("/health/live", method="GET")


class Served:
    """A service in a process of its own."""

    def __init__(self, process: subprocess.Popen[bytes], port: int) -> None:
        self.process, self.port = process, port

    def memory(self) -> float:
        """Resident memory in MB."""
        pages = int(Path(f"/proc/{self.process.pid}/statm").read_text(encoding="ascii").split()[1])
        return pages * os.sysconf("SC_PAGE_SIZE") / 1e6

    def processor_seconds(self) -> float:
        """User and system time taken so far."""
        fields = Path(f"/proc/{self.process.pid}/stat").read_text(encoding="ascii").rpartition(")")[2].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


@contextmanager
def served(*options: str, log: int | IO[bytes] = subprocess.DEVNULL) -> Iterator[Served]:
    """The service, ready, with its log where it is told, and ended on the way out."""
    port = free_port()
    process = subprocess.Popen([COMMAND, "serve", "--port", str(port), *options], stdout=log)
    try:
        for _ in range(600):
            with suppress(httpx.TransportError):
                if httpx.get(f"http://127.0.0.1:{port}/health/ready").is_success:
                    break
            time.sleep(0.05)
        yield Served(process, port)
    finally:
        process.terminate()
        process.wait(timeout=60)


def new_plates() -> Callable[[], bytes]:
    """Requests for plates that were never seen before."""
    lengths, body = itertools.count(1), PLATE.read_bytes()
    return lambda: message(
        "/v1/prices", body.replace(b'"700 mm"', b'"%d.%03d mm"' % divmod(600_000 + next(lengths), 1000))
    )


def mixed() -> Callable[[], bytes]:
    """Of ten requests, four for plates that were never seen, and six for plates of a catalogue."""
    new, body, turns = new_plates(), PLATE.read_bytes(), itertools.count()

    def sent() -> bytes:
        turn = next(turns)
        if turn % 10 < 4:
            return new()
        return message("/v1/prices", body.replace(b'"700 mm"', b'"%d mm"' % (500 + 10 * (turn % 37))))

    return sent


async def capacity(port: int, sent: Callable[[], bytes], seconds: float, connections: int = 16) -> float:
    """Answers a second to callers each of whom waits for the answer before asking again."""
    load, began = Load(Counter()), time.perf_counter()
    asking = asyncio.create_task(keep_asking(port, sent, load, connections))
    await asyncio.sleep(seconds)
    done = load.answers[200] / (time.perf_counter() - began)
    load.ended = True
    await asking
    return done


async def asked(port: int, sent: Callable[[], bytes], calls: int, connections: int) -> Load:
    """A number of requests, each answered with a price."""
    load, left = Load(Counter()), iter(range(calls, 0, -1))

    def counted() -> bytes:
        load.ended = next(left) <= connections
        return sent()

    await asyncio.wait_for(keep_asking(port, counted, load, connections), timeout=900)
    assert set(load.answers) == {200}, load.answers
    return load


Due = Callable[[float], float]
"""How many requests are due, by the seconds since the first."""


class Busy:
    """As many requests as keep a service busy for a share of the time.

    What a shared machine can carry changes from second to second by a third and more: no fixed rate is a share of it.
    """

    LOOK = 0.5
    """Seconds from one look at the service to the next."""

    SLOWER, FASTER = 0.7, 1.1
    """By how much the rate may change at one look: too large a load is taken back sooner than too small a one is."""

    def __init__(self, service: Served, share: float, rate: float) -> None:
        self.service, self.share, self.rate = service, share, rate
        self.rates: list[float] = []
        self._due = self._at = self._looked = 0.0
        self._used = service.processor_seconds()

    def due(self, now: float) -> float:
        """How many by now."""
        self._due += (now - self._at) * self.rate
        self._at = now
        if now - self._looked >= self.LOOK:
            used = self.service.processor_seconds()
            busy = (used - self._used) / (now - self._looked)
            self._used, self._looked = used, now
            self.rate *= min(self.FASTER, max(self.SLOWER, self.share / max(busy, 0.01)))
            self.rates.append(self.rate)
        return self._due


async def pressed(port: int, sent: Callable[[], bytes], due: Due, seconds: float) -> tuple[Load, Load, list[float]]:
    """What became of requests sent when due, of health asked meanwhile, and the seconds that each refusal took."""
    load, health, refusals = Load(Counter()), Load(Counter()), list[float]()
    idle: list[Caller] = []
    running: set[asyncio.Task[None]] = set()

    async def one() -> None:
        caller = idle.pop() if idle else Caller(port, load)
        before = len(load.seconds)
        status = await caller.ask(sent())
        if status == 503 and len(load.seconds) > before:
            refusals.append(load.seconds.pop())
        idle.append(caller)

    async def prober() -> None:
        caller = Caller(port, health)
        while True:
            await caller.ask(HEALTH)
            await asyncio.sleep(0.02)

    probing = asyncio.create_task(prober())
    began, count, last = time.perf_counter(), 0, 0.0
    while (now := time.perf_counter() - began) < seconds:
        load.held_up, last = max(load.held_up, now - last), now
        until = int(due(now))
        while count < until:
            count += 1
            if len(running) < MOST:
                task = asyncio.create_task(one())
                running.add(task)
                task.add_done_callback(running.discard)
            else:
                load.refused += 1
        await asyncio.sleep(0.001)
    probing.cancel()
    if running:
        await asyncio.wait(running, timeout=10)
    for caller in idle:
        caller.hang_up()
    return load, health, refusals
