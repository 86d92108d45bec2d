"""Deadlines of a request: for its body, for the start of its answer, and for a client that takes the answer.

What runs in the event loop cannot be interrupted: it is counted before it is begun. Bounded here is what waits: for the
client, for a turn, for a thread. Work in a thread goes on to its end after its client was told that it came too late,
and keeps its turn until then, so that no more of it is begun than may run.

One timer looks after all requests. One for each would cost more than the rest of this layer, and rarely run out.
"""

import asyncio
from math import inf
from time import monotonic
from typing import Any, Final

from litestar.types import ASGIApp, Message, Receive, ReceiveMessage, Scope, Send

from tallyplate.http.limits import Limits
from tallyplate.http.problems import Problem, problem
from tallyplate.http.refusing import exempt, send_problem

BATCH: Final = "/v1/prices/batch"
"""Its body comes, and its answer goes, for as long as it has lines."""

GONE: Final[ReceiveMessage] = {"type": "http.disconnect"}

STEP: Final = 0.05
"""Seconds between two looks at who is late."""


class Dated:
    """An application whose requests end in time."""

    _next_look: asyncio.TimerHandle

    def __init__(self, app: ASGIApp, limits: Limits) -> None:
        self.app, self.limits = app, limits
        self._calls: set[_Call] = set()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on until it is late. To the application a late client is one that has hung up."""
        if exempt(scope):
            await self.app(scope, receive, send)
            return
        call = _Call(receive, send, self.limits, batch=scope["path"] == BATCH)
        if not self._calls:
            self._look()
        self._calls.add(call)
        try:
            await self.app(scope, call.receive, call.send)
        finally:
            self._calls.remove(call)
            if not self._calls:
                self._next_look.cancel()
        if call.slow and not call.started:
            # The connection closes when the client still sends after a while; at once, its answer would be lost.
            await send_problem(send, call.slow)

    def _look(self) -> None:
        now = monotonic()
        for call in self._calls:
            call.look(now)
        self._next_look = asyncio.get_running_loop().call_later(STEP, self._look)


class _Call:
    def __init__(self, receive: Receive, send: Send, limits: Limits, *, batch: bool) -> None:
        self._receive, self._send, self._limits, self._batch = receive, send, limits, batch
        self._ends = monotonic() + (limits.batch_seconds if batch else limits.request_seconds)
        self._patience, self._body_due = limits.body_seconds, inf
        self._whole = self.started = self._late = self._given_up = False
        self.slow: Problem | None = None
        self._reading: asyncio.Task[Any] | None = None
        self._telling: asyncio.Task[None] | None = None

    async def receive(self) -> ReceiveMessage:
        """The next message of the client, in time, or that it is gone."""
        if self._given_up:
            return GONE
        began = monotonic()
        if not self._whole:
            self._body_due = began + self._patience
        reading = self._reading = asyncio.current_task()
        try:
            message = await self._receive()
        except asyncio.CancelledError:
            # A look that ends the reading forgets it. Whoever else cancels the task is heard.
            if self._reading or not reading or reading.uncancel():
                raise
            return GONE
        finally:
            self._reading, self._body_due = None, inf
        if not self._batch:
            self._patience -= monotonic() - began
        self._whole = not message.get("more_body")
        return message

    async def send(self, message: Message) -> None:
        """Hand an answer on, unless its client was given up."""
        if self._late or (self.slow and not self.started):
            return
        if not self.started:
            self.started = True
            if not self._batch:
                self._ends = monotonic() + self._limits.answer_seconds
        await self._send(message)

    def look(self, now: float) -> None:
        """Give the client up where it is late, or where its answer is."""
        if self._given_up or now < min(self._body_due, self._ends):
            return
        self._given_up = True
        if now >= self._body_due:
            self.slow = problem("slow-request", f"accepted: the body within {self._limits.body_seconds:g} s")
        elif not self.started:
            self._late = self.started = True
            self._telling = asyncio.create_task(self._tell())
        if self._reading:
            self._reading.cancel()
            self._reading = None

    async def _tell(self) -> None:
        what = problem("overloaded", f"no answer could be begun within {self._limits.request_seconds:g} s")
        await send_problem(self._send, what, retry_after=self._limits.request_seconds, close=True)
