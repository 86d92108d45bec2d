"""A process that is about to end says so: it is not ready, and every answer closes its connection."""

import asyncio
import socket
from typing import Any

import pytest

from tallyplate.http.drain import Drain, Draining, no_more
from tests.http.asgi import Call, done


async def _app(scope: Any, receive: Any, send: Any) -> None:
    await receive()
    await done(send)


def test_before_its_end_a_service_closes_nothing() -> None:
    call = asyncio.run(Call("/v1/prices", b"{}").to(Draining(_app, Drain())))
    assert (call.status, call.headers) == (200, {})


def test_an_ending_service_answers_and_is_not_ready() -> None:
    drain = Drain()
    drain.begin()
    app = Draining(_app, drain)
    price, alive, ready = (
        asyncio.run(Call(path, b"{}").to(app)) for path in ("/v1/prices", "/health/live", "/health/ready")
    )
    assert (price.status, alive.status, ready.status) == (200, 200, 503)
    assert all(call.headers["connection"] == "close" for call in (price, alive, ready))
    assert b'"type":"/problems/not-ready"' in ready.body


def test_an_answer_that_was_begun_on_before_closes_its_connection_too() -> None:
    drain = Drain()

    async def ending(scope: Any, receive: Any, send: Any) -> None:
        drain.begin()
        await done(send)

    assert asyncio.run(Call("/v1/prices").to(Draining(ending, drain))).headers["connection"] == "close"


def test_the_time_to_drain_counts_from_the_first_order_to_end() -> None:
    drain = Drain()
    assert drain.rest(5.0) == 5.0
    drain.begin()
    first = drain.begun
    drain.begin()
    assert drain.begun == first
    assert 0.0 < drain.rest(5.0) <= 5.0
    assert drain.rest(0.0) == 0.0


def test_a_socket_that_takes_no_more_still_gives_what_waits_in_its_queue() -> None:
    with socket.create_server(("127.0.0.1", 0)) as listening:
        waiting = socket.create_connection(listening.getsockname(), timeout=5)
        waiting.sendall(b"first")
        no_more(listening)
        late = socket.socket()
        late.setblocking(False)
        late.connect_ex(listening.getsockname())
        taken, _ = listening.accept()
        assert taken.recv(10) == b"first"
        listening.settimeout(0.2)
        with pytest.raises(TimeoutError):
            listening.accept()
        for one in (waiting, late, taken):
            one.close()
