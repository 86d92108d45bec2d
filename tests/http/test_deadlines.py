"""Deadlines of requests: bodies, the start of an answer, its end, and batches."""

import asyncio
from typing import Any

import pytest

from tallyplate.http.deadlines import BATCH, STEP, Dated
from tallyplate.http.limits import Limits
from tests.http.asgi import Call, done

SMALL = Limits(body_seconds=0.1, request_seconds=0.2, batch_seconds=0.3, answer_seconds=0.2)


async def _reading(scope: Any, receive: Any, send: Any) -> None:
    while True:
        message = await receive()
        if message["type"] == "http.disconnect":
            return
        if not message["more_body"]:
            break
    await done(send)


class Slow(Call):
    """A client that pauses before each piece."""

    pause = 0.04

    async def receive(self) -> Any:
        if self.pieces:
            await asyncio.sleep(self.pause)
        return await super().receive()


def test_a_body_may_take_its_time_in_all_and_no_longer_however_small_each_pause_is() -> None:
    assert asyncio.run(Slow("/v1/prices", b"1", b"2").to(Dated(_reading, SMALL))).status == 200
    late = asyncio.run(Slow("/v1/prices", *[b"x"] * 10).to(Dated(_reading, SMALL)))
    assert late.status == 408
    assert b'"type":"/problems/slow-request"' in late.body
    assert late.ended


def test_only_waiting_for_a_body_counts_as_that() -> None:
    async def working(scope: Any, receive: Any, send: Any) -> None:
        for _ in range(2):
            await receive()
            await asyncio.sleep(0.15)
        await done(send)

    hasty = Limits(body_seconds=0.05)
    assert asyncio.run(Call("/v1/prices", b"1", b"2").to(Dated(working, hasty))).status == 200


def test_whose_body_is_late_is_told_so_however_long_that_takes() -> None:
    async def unmoved(scope: Any, receive: Any, send: Any) -> None:
        assert (await receive())["type"] == "http.disconnect"
        await asyncio.sleep(0.3)

    assert asyncio.run(Call("/v1/prices").to(Dated(unmoved, SMALL))).status == 408


def test_a_batch_may_pause_between_pieces_as_long_as_each_pause_is_short() -> None:
    assert asyncio.run(Slow(BATCH, *[b"x"] * 5).to(Dated(_reading, SMALL))).status == 200


def test_a_batch_ends_in_time_however_steadily_it_comes() -> None:
    late = asyncio.run(Slow(BATCH, *[b"x"] * 50).to(Dated(_reading, SMALL)))
    assert late.status in {408, 503}
    assert late.ended


def test_an_answer_that_is_not_begun_in_time_is_503_and_its_work_goes_on_unheard() -> None:
    finished = []

    async def searching(scope: Any, receive: Any, send: Any) -> None:
        await asyncio.sleep(0.4)
        assert (await receive())["type"] == "http.disconnect"
        await done(send)
        finished.append(True)

    late = asyncio.run(Call("/v1/alternatives", b"{}").to(Dated(searching, SMALL)))
    assert (late.status, late.ended) == (503, True)
    assert late.headers["retry-after"] == "1"
    assert b'"type":"/problems/overloaded"' in late.body
    assert b"done" not in late.body
    assert finished


def test_a_document_that_nobody_takes_in_time_is_told_that_its_client_is_gone() -> None:
    async def drawing(scope: Any, receive: Any, send: Any) -> None:
        await receive()
        await send({"type": "http.response.start", "status": 200, "headers": []})
        assert (await receive())["type"] == "http.disconnect"

    call = asyncio.run(Call("/v1/drawings", b"{}").to(Dated(drawing, SMALL)))
    assert (call.status, call.ended) == (200, False)


def test_a_client_may_listen_for_longer_than_it_may_send() -> None:
    async def drawing(scope: Any, receive: Any, send: Any) -> None:
        await receive()
        with pytest.raises(TimeoutError):
            async with asyncio.timeout(0.2):
                await receive()
        await done(send)

    hasty = Limits(body_seconds=0.05)
    assert asyncio.run(Call("/v1/drawings", b"{}").to(Dated(drawing, hasty))).status == 200


def test_a_reading_that_is_cancelled_is_not_taken_for_a_client_that_hung_up() -> None:
    async def going() -> int:
        call = Call("/v1/prices")
        reading = asyncio.create_task(call.to(Dated(_reading, SMALL)))
        await asyncio.sleep(0.01)
        reading.cancel()
        with pytest.raises(asyncio.CancelledError):
            await reading
        return call.status

    assert asyncio.run(going()) == 0


def test_nor_is_one_that_is_cancelled_just_when_its_client_is_given_up() -> None:
    async def going() -> int:
        class Ended(Call):
            async def receive(self) -> Any:
                try:
                    return await super().receive()
                finally:
                    reading.cancel()

        call = Ended("/v1/prices")
        reading = asyncio.create_task(call.to(Dated(_reading, SMALL)))
        with pytest.raises(asyncio.CancelledError):
            await reading
        return call.status

    assert asyncio.run(going()) == 0


def test_nobody_looks_while_nobody_calls() -> None:
    class Counted(Dated):
        looks = 0

        def _look(self) -> None:
            self.looks += 1
            super()._look()

    async def going() -> list[int]:
        app, seen = Counted(_reading, SMALL), list[int]()
        for _ in range(2):
            assert (await Slow("/v1/prices", b"1", b"2").to(app)).status == 200
            seen.append(app.looks)
            await asyncio.sleep(3 * STEP)
            seen.append(app.looks)
        return seen

    first, then, second, last = asyncio.run(going())
    assert 0 < first == then < second == last


def test_an_application_that_fails_is_not_hidden_by_its_deadline() -> None:
    async def failing(*_: Any) -> None:
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        asyncio.run(Call("/v1/prices", b"{}").to(Dated(failing, SMALL)))


def test_health_has_no_deadline() -> None:
    async def slow(scope: Any, receive: Any, send: Any) -> None:
        await asyncio.sleep(0.3)
        await done(send)

    assert asyncio.run(Call("/health/live").to(Dated(slow, SMALL))).status == 200
