"""Deadlines of requests: bodies, the start of an answer, its end, and batches."""

import asyncio
from typing import Any

import pytest

from tallyplate.http.deadlines import BATCH, Dated
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
