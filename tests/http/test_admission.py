"""Admission: who waits, who is told to come again, and what is never held up."""

import asyncio
import time
from collections import Counter
from collections.abc import Awaitable, Callable
from typing import Any

from tallyplate.http.admission import MOMENT, Admitted, Lane, Lanes
from tallyplate.http.limits import Limits
from tests.http.asgi import Call, at_once, done


class Work:
    """An application whose work takes `seconds` of its loop, or of a thread, and that counts who works at once."""

    def __init__(self, seconds: float = 0.0) -> None:
        self.seconds = seconds
        self.working, self.most, self.reading = 0, 0, True
        self.ended = asyncio.Event()

    async def __call__(self, scope: Any, receive: Any, send: Any) -> None:
        self.working += 1
        self.most = max(self.most, self.working)
        if self.reading:
            await receive()
        await asyncio.sleep(self.seconds)
        self.working -= 1
        await done(send)


def _admitted(app: Any, limits: Limits, shed: Callable[[str], None] = lambda _: None) -> Admitted:
    return Admitted(app, limits, Lanes(limits, shed))


def _statuses(calls: list[Call]) -> Counter[int]:
    return Counter(call.status for call in calls)


def test_beyond_the_most_that_wait_the_rest_are_refused_and_counted() -> None:
    shed: list[str] = []
    work = Work(0.001)
    calls = [Call("/v1/prices", b"{}") for _ in range(20)]
    asyncio.run(at_once(_admitted(work, Limits(waiting=5), shed.append), calls))
    assert _statuses(calls) == {200: 5, 503: 15}
    assert shed == ["prices"] * 15
    assert work.most == 1
    refused = next(call for call in calls if call.status == 503)
    assert refused.headers["retry-after"] == "1"
    assert b'"type":"/problems/overloaded"' in refused.body


def test_who_comes_together_is_counted_before_anybody_is_worked_on() -> None:
    async def at_a_stretch(scope: Any, receive: Any, send: Any) -> None:
        await done(send)

    calls = [Call("/v1/prices", b"{}") for _ in range(20)]
    asyncio.run(at_once(_admitted(at_a_stretch, Limits(waiting=5)), calls))
    assert _statuses(calls) == {200: 5, 503: 15}


async def _looks(app: Callable[[], Awaitable[None]], count: int) -> list[int]:
    """How often the loop had looked up when each of some prices that came together was worked on."""
    looks, worked = 0, list[int]()

    async def working(scope: Any, receive: Any, send: Any) -> None:
        worked.append(looks)
        await app()
        await done(send)

    calls = [Call("/v1/prices", b"{}") for _ in range(count)]
    all_of_them = asyncio.create_task(at_once(_admitted(working, Limits()), calls))
    while not all_of_them.done():
        looks += 1
        await asyncio.sleep(0)
    return worked


def test_who_comes_together_is_worked_on_together_for_a_moment() -> None:
    async def at_a_stretch() -> None:
        time.sleep(0.4 * MOMENT)  # noqa: ASYNC251 - as a price does, it holds the loop up

    worked = asyncio.run(_looks(at_a_stretch, 20))
    assert len(worked) == 20
    assert max(Counter(worked).values()) <= 3


def test_in_a_queue_the_loop_looks_up_for_those_who_come_new() -> None:
    async def at_two_stretches() -> None:
        await asyncio.sleep(0)

    # One look is for the work itself, and one for the turn to pass on.
    first, second, third = asyncio.run(_looks(at_two_stretches, 3))
    assert second - first >= 3
    assert third - second >= 3


def test_who_would_wait_too_long_is_refused_before_waiting() -> None:
    lane = Lane("prices", 1, seconds=1.0, most=1000)
    for number in range(100):
        lane.left(came=number * 0.1, now=(number + 1) * 0.1)
    lane.waiting = 9
    assert not lane.full()
    lane.waiting = 11
    assert lane.full()
    assert 1.0 < lane.expected() < 1.2


def test_a_lane_that_was_idle_takes_the_next_however_slow_the_last_was() -> None:
    lane = Lane("searches", 1, seconds=1.0, most=10)
    lane.left(came=0.0, now=600.0)
    assert not lane.full()


def test_documents_and_searches_have_no_more_places_than_is_said() -> None:
    for path, places in (("/v1/drawings", 3), ("/v1/alternatives", 2), ("/v1/prices/batch", 4), ("/v1/prices", 1)):
        work = Work(0.005)
        limits = Limits(documents=3, searches=2, batches=4)
        calls = [Call(path, b"{}") for _ in range(9)]
        asyncio.run(at_once(_admitted(work, limits), calls))
        assert _statuses(calls) == {200: 9}
        assert work.most == places


def test_prices_and_health_do_not_wait_for_a_long_search() -> None:
    ended: list[str] = []

    async def app(scope: Any, receive: Any, send: Any) -> None:
        await asyncio.sleep(0.1 if scope["path"] == "/v1/alternatives" else 0.0)
        await done(send)
        ended.append(scope["path"])

    paths = ["/v1/alternatives", "/v1/alternatives", "/v1/prices", "/health/live", "/metrics"]
    asyncio.run(at_once(_admitted(app, Limits()), [Call(path, b"{}") for path in paths]))
    assert set(ended[:3]) == {"/v1/prices", "/health/live", "/metrics"}


def test_no_place_is_held_for_a_body_that_is_still_on_its_way() -> None:
    class Stalled(Call):
        async def receive(self) -> Any:
            await self.gone.wait()
            return {"type": "http.disconnect"}

    async def both() -> tuple[Call, Call]:
        app = _admitted(Work(), Limits())
        stalled, quick = Stalled("/v1/prices"), Call("/v1/prices", b"{", b"}")
        waiting = asyncio.create_task(stalled.to(app))
        await asyncio.sleep(0.01)
        await quick.to(app)
        stalled.gone.set()
        await waiting
        return stalled, quick

    stalled, quick = asyncio.run(both())
    assert (stalled.status, quick.status) == (0, 200)


def test_a_full_lane_refuses_without_reading_the_body() -> None:
    async def going() -> Call:
        app = _admitted(Work(0.05), Limits(waiting=1))
        working = asyncio.create_task(Call("/v1/prices", b"{}").to(app))
        await asyncio.sleep(0.01)
        refused = Call("/v1/prices", b"{", b"}")
        await refused.to(app)
        await working
        return refused

    refused = asyncio.run(going())
    assert refused.status == 503
    assert len(refused.pieces) == 2


def test_the_body_comes_whole_and_then_whether_the_client_is_there() -> None:
    heard: list[Any] = []

    async def app(scope: Any, receive: Any, send: Any) -> None:
        heard.extend([await receive(), await receive(), await receive()])
        await done(send)

    async def going() -> None:
        call = Call("/v1/prices", b"{", b"}")
        call.gone.set()
        await call.to(_admitted(app, Limits()))

    asyncio.run(going())
    assert [message.get("body") for message in heard] == [b"{}", None, None]


def test_a_price_gives_its_place_back_when_its_client_does_not_take_it() -> None:
    class Stuck(Call):
        async def send(self, message: Any) -> None:
            await super().send(message)
            await self.gone.wait()

    async def both() -> int:
        app = _admitted(Work(), Limits())
        stuck, next_one = Stuck("/v1/prices", b"{}"), Call("/v1/prices", b"{}")
        holding = asyncio.create_task(stuck.to(app))
        await asyncio.sleep(0.01)
        async with asyncio.timeout(2):
            await next_one.to(app)
        stuck.gone.set()
        await holding
        return next_one.status

    assert asyncio.run(both()) == 200


def test_a_failure_gives_its_place_back() -> None:
    async def failing(*_: Any) -> None:
        raise ZeroDivisionError

    async def twice() -> int:
        app = _admitted(failing, Limits())
        failed = 0
        for _ in range(3):
            try:
                async with asyncio.timeout(2):
                    await Call("/v1/prices", b"{}").to(app)
            except ZeroDivisionError:
                failed += 1
        return failed

    assert asyncio.run(twice()) == 3
