"""Admission: a request is counted, lets the others be counted, waits for its turn, and is worked on; or is refused now.

A loop that prices one plate after the other does not see who waits, so that everybody would wait for everybody. Here
each lane says how long it would take: a request that would wait too long is told at once when to come again, from its
head alone where that can be. Prices, searches, documents and batches have lanes of their own, so that none starves
another; health and metrics have none.
"""

import asyncio
from collections.abc import Callable
from time import monotonic
from typing import Final

from litestar.enums import ScopeType
from litestar.types import ASGIApp, HTTPRequestEvent, Message, Receive, ReceiveMessage, Scope, Send

from tallyplate.http.deadlines import BATCH
from tallyplate.http.limits import Limits
from tallyplate.http.nesting import nested
from tallyplate.http.problems import Problem, problem
from tallyplate.http.refusing import send_problem

PORTFOLIOS: Final = ("/v1/impacts",)
SEARCHES: Final = ("/v1/questions", "/v1/readings", "/v1/effects", "/v1/alternatives")
SETS: Final = ("/v1/sets",)
DOCUMENTS: Final = ("/v1/drawings", "/v1/hole-schedules", "/v1/quotes")
PRICED: Final = "prices"
"""The lane of all calls that are worked on in the loop."""

LONG: Final = frozenset({BATCH, *PORTFOLIOS})
"""Calls whose bodies are large, and are read in their turn: no more of them are held than are worked on."""

LATE: Final = 2.0
"""Of the longest wait that a lane lets in, how much it may become."""

MOMENT: Final = 0.005
"""Seconds for which those who were counted together are worked on together; the others queue."""

RECENT: Final = 0.1
"""Weight of the latest request in the mean time that a lane takes for one."""

Count = Callable[[str], None]


class Lane:
    """A queue with a number of places to work in."""

    def __init__(self, name: str, places: int, seconds: float, most: int) -> None:
        self.name, self.seconds, self.most = name, seconds, most
        self.places = asyncio.Semaphore(places)
        self.waiting, self.mean, self._left = 0, 0.0, 0.0
        self.counted = 0.0
        """When the latest request was counted, on the monotonic clock."""

    def expected(self) -> float:
        """How long a request that comes now would wait, in seconds."""
        return self.waiting * self.mean

    def full(self) -> bool:
        """Whether that is too long, or too many wait already."""
        return self.waiting >= self.most or self.expected() > self.seconds

    def left(self, came: float, now: float) -> None:
        """A request is done: the lane takes one as often as they leave while others wait."""
        self.mean += RECENT * (now - max(came, self._left) - self.mean)
        self._left = now


class Lanes:
    """The lanes of a service; `shed` counts by name of the lane whom it refuses."""

    def __init__(self, limits: Limits, shed: Count) -> None:
        self._shed = shed
        lanes = (
            ((PRICED,), PRICED, 1, limits.wait_seconds),
            (SEARCHES, "searches", limits.searches, limits.long_wait_seconds),
            (SETS, "sets", 1, limits.long_wait_seconds),
            (PORTFOLIOS, "portfolios", 1, limits.long_wait_seconds),
            (DOCUMENTS, "documents", limits.documents, limits.long_wait_seconds),
            ((BATCH,), "batches", limits.batches, limits.long_wait_seconds),
        )
        self._lanes = {
            path: lane
            for paths, name, places, seconds in lanes
            for lane in (Lane(name, places, seconds, limits.waiting),)
            for path in paths
        }

    def of(self, path: str) -> Lane | None:
        """Calls that are not named wait with prices; pages and files, which are made already, do not wait."""
        return self._lanes.get(path) or (self._lanes[PRICED] if path.startswith("/v1/") else None)

    def refused(self, lane: Lane) -> tuple[Problem, float]:
        """What a request of a full lane is told, and the seconds after which it may come again; it is counted."""
        self._shed(lane.name)
        what = problem("overloaded", f"too many requests wait for {lane.name}; accepted: the same request later")
        return what, lane.expected()

    def at_the_door(self, path: str) -> tuple[Problem, float] | None:
        """The same, told before anything is made of a request; none where there is room."""
        lane = self.of(path)
        return self.refused(lane) if lane and lane.full() else None


class Admitted:
    """An application that takes no more work than it can do in time."""

    def __init__(self, app: ASGIApp, limits: Limits, lanes: Lanes) -> None:
        self.app, self.limits, self.lanes = app, limits, lanes

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on when it is its turn."""
        lane = self.lanes.of(scope["path"]) if scope["type"] == ScopeType.HTTP else None
        if lane is None:
            await self.app(scope, receive, send)
        elif lane.full():
            await self._refuse(lane, send)
        elif scope["path"] in LONG:
            await self._in_turn(lane, scope, receive, send)
        else:
            await self._when_come(lane, scope, receive, send)

    async def _when_come(self, lane: Lane, scope: Scope, receive: Receive, send: Send) -> None:
        """A place is not held for a body that is still on its way."""
        body, more = bytearray(), True
        while more and len(body) <= self.limits.body_bytes:
            message = await receive()
            if message["type"] != "http.request":
                return
            body += message["body"]
            more = message.get("more_body", False)
        if deep := nested(body, self.limits.json_depth):
            await send_problem(send, deep)
            return
        first: HTTPRequestEvent | None = {"type": "http.request", "body": bytes(body), "more_body": more}

        async def again() -> ReceiveMessage:
            nonlocal first
            if first is None:
                return await receive()
            message, first = first, None
            return message

        await self._in_turn(lane, scope, again, send)

    async def _in_turn(self, lane: Lane, scope: Scope, receive: Receive, send: Send) -> None:
        if lane.full():
            await self._refuse(lane, send)
            return
        came = lane.counted = monotonic()
        lane.waiting += 1
        working = False

        def done() -> None:
            nonlocal working
            if working:
                working = False
                lane.places.release()
                lane.left(came, monotonic())

        async def sent(message: Message) -> None:
            # A price has been worked out when its answer begins, and its client may take it as slowly as it likes.
            if lane.name == PRICED:
                done()
            await send(message)

        try:
            await asyncio.sleep(0)
            queued = lane.places.locked()
            await lane.places.acquire()
            working = True
            # In a queue the loop looks up once more for each: at one look it takes no more than one new connection.
            if queued or monotonic() - lane.counted > MOMENT:
                await asyncio.sleep(0)
            # Who was let in is worked on, unless the lane has become much slower than it said.
            if monotonic() - came > LATE * lane.seconds:
                await self._refuse(lane, sent)
            else:
                await self.app(scope, receive, sent)
        finally:
            lane.waiting -= 1
            done()

    async def _refuse(self, lane: Lane, send: Send) -> None:
        what, seconds = self.lanes.refused(lane)
        await send_problem(send, what, retry_after=seconds)
