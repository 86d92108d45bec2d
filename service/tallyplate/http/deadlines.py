"""Deadlines of a request: for its body, for the start of its answer, and for a client that takes the answer.

What runs in the event loop cannot be interrupted: it is counted before it is begun. Bounded here is what waits: for the
client, for a turn, for a thread. Work in a thread goes on to its end after its client was told that it came too late,
and keeps its turn until then, so that no more of it is begun than may run.
"""

import asyncio
from typing import Final

from litestar.types import ASGIApp, Message, Receive, ReceiveMessage, Scope, Send

from tallyplate.http.limits import Limits
from tallyplate.http.problems import Problem, problem
from tallyplate.http.refusing import exempt, send_problem

BATCH: Final = "/v1/prices/batch"
"""Its body comes, and its answer goes, for as long as it has lines."""

GONE: Final[ReceiveMessage] = {"type": "http.disconnect"}


class Dated:
    """An application whose requests end in time."""

    def __init__(self, app: ASGIApp, limits: Limits) -> None:
        self.app, self.limits = app, limits

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on until it is late. To the application a late client is one that has hung up."""
        if exempt(scope):
            await self.app(scope, receive, send)
            return
        call = _Call(receive, send, self.limits, batch=scope["path"] == BATCH)
        try:
            await self.app(scope, call.receive, call.send)
        finally:
            call.timer.cancel()
        if call.slow and not call.started:
            # The connection closes when the client still sends after a while; at once, its answer would be lost.
            await send_problem(send, call.slow)


class _Call:
    def __init__(self, receive: Receive, send: Send, limits: Limits, *, batch: bool) -> None:
        self._receive, self._send, self._limits, self._batch = receive, send, limits, batch
        self._loop = asyncio.get_running_loop()
        seconds = limits.batch_seconds if batch else limits.request_seconds
        self._ends, self._patience = self._loop.time() + seconds, limits.body_seconds
        self._whole = self.started = self._late = False
        self.slow: Problem | None = None
        self._telling: asyncio.Task[None] | None = None
        self.timer = self._loop.call_at(self._ends, self._expire)

    async def receive(self) -> ReceiveMessage:
        """The next message of the client, in time, or that it is gone."""
        while not self.slow and not self._late:
            began = self._loop.time()
            until = self._ends if self._whole else min(self._ends, began + self._patience)
            try:
                async with asyncio.timeout_at(until):
                    message = await self._receive()
            except TimeoutError:
                if not self._whole:
                    accepted = f"accepted: the body within {self._limits.body_seconds:g} s"
                    self.slow = problem("slow-request", accepted)
                elif self._loop.time() >= self._ends:
                    return GONE
                continue
            if not self._batch:
                self._patience -= self._loop.time() - began
            self._whole = not message.get("more_body")
            return message
        return GONE

    async def send(self, message: Message) -> None:
        """Hand an answer on, unless its client was given up."""
        if self._late or (self.slow and not self.started):
            return
        if not self.started:
            self.started = True
            self.timer.cancel()
            if not self._batch:
                self._ends = self._loop.time() + self._limits.answer_seconds
        await self._send(message)

    def _expire(self) -> None:
        if not self.started and not self.slow:
            self._late = self.started = True
            self._telling = self._loop.create_task(self._tell())

    async def _tell(self) -> None:
        what = problem("overloaded", f"no answer could be begun within {self._limits.request_seconds:g} s")
        await send_problem(self._send, what, retry_after=self._limits.request_seconds, close=True)
