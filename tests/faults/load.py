"""A keep-alive client that counts every request that it sent and got no answer to."""

import asyncio
import threading
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from msgspec import Struct


class Load(Struct):
    """What happened: answers by status, requests without an answer, connections that were refused, seconds each.

    `held_up` is the longest that the caller itself stood still, in s, where it notes that.
    """

    answers: Counter[int]
    lost: int = 0
    refused: int = 0
    seconds: list[float] = []
    ended: bool = False
    held_up: float = 0.0


def message(path: str, body: bytes = b"", method: str = "POST") -> bytes:
    """A request as it is sent."""
    head = f"{method} {path} HTTP/1.1\r\nhost: 127.0.0.1\r\ncontent-type: application/json\r\n"
    return f"{head}content-length: {len(body)}\r\n\r\n".encode() + body


class Caller:
    """One connection, opened again where the service closes it."""

    def __init__(self, port: int, load: Load) -> None:
        self.port, self.load = port, load
        self.writer: asyncio.StreamWriter | None = None

    async def ask(self, sent: bytes) -> int:
        """The status of an answer; 0 where none came, or where no connection could be had."""
        if self.writer is None:
            try:
                self.reader, self.writer = await asyncio.open_connection("127.0.0.1", self.port)
            except OSError:
                self.load.refused += 1
                return 0
        began = time.perf_counter()
        try:
            self.writer.write(sent)
            status, close = await self._answer()
        except (OSError, asyncio.IncompleteReadError):
            self.load.lost += 1
            self.hang_up()
            return 0
        self.load.seconds.append(time.perf_counter() - began)
        self.load.answers[status] += 1
        if close:
            self.hang_up()
        return status

    async def _answer(self) -> tuple[int, bool]:
        head = (await self.reader.readuntil(b"\r\n\r\n")).lower()
        _, _, after = head.partition(b"\r\ncontent-length: ")
        await self.reader.readexactly(int(after[: after.index(b"\r\n")]))
        return int(head[9:12]), b"\r\nconnection: close\r\n" in head

    def hang_up(self) -> None:
        """Close the connection."""
        if self.writer:
            self.writer.close()
        self.writer = None


@contextmanager
def under_load(port: int, sent: bytes, connections: int, pause: float = 0.0) -> Iterator[Load]:
    """Busy keep-alive connections meanwhile; ends when the service does, or the caller."""
    load = Load(Counter())
    asking = threading.Thread(target=lambda: asyncio.run(keep_asking(port, lambda: sent, load, connections, pause)))
    asking.start()
    try:
        yield load
    finally:
        load.ended = True
        asking.join(60)


async def keep_asking(
    port: int, sent: Callable[[], bytes], load: Load, connections: int = 32, pause: float = 0.0
) -> None:
    """Each connection asks as soon as it is answered, until `load.ended` or nobody listens any more."""

    async def one() -> None:
        caller, refused = Caller(port, load), 0
        while not load.ended and refused < 20:
            status = await caller.ask(sent())
            refused = 0 if caller.writer or status else refused + 1
            await asyncio.sleep(0.01 if refused else pause)
        caller.hang_up()

    async with asyncio.TaskGroup() as together:
        for _ in range(connections):
            together.create_task(one())
