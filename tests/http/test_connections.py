"""Connections over a real socket: heads, bodies and answers that are too large, too slow or never end."""

import asyncio
from collections.abc import Awaitable, Callable
from contextlib import suppress

import msgspec
import pytest
from litestar.types import Receive, Scope, Send

from tallyplate.http.deadlines import Dated
from tallyplate.http.limits import Limits
from tests.faults.behind import echo, listening, run, talk

SMALL = Limits(
    head_bytes=1024, head_seconds=0.2, body_seconds=0.2, keep_alive_seconds=0.2, answer_seconds=0.3, connections=3
)
PATIENT = msgspec.structs.replace(SMALL, head_seconds=20.0, body_seconds=20.0, answer_seconds=20.0)
"""For what is about sizes alone, however slow the machine is."""

CLOSE = b"GET /x HTTP/1.1\r\nhost: x\r\nconnection: close\r\n\r\n"
BODY = b"POST /x HTTP/1.1\r\nhost: x\r\ncontent-length: 10\r\n\r\n"


def _behind(what: Callable[[int], Awaitable[bytes]], limits: Limits = SMALL) -> bytes:
    async def going() -> bytes:
        async with listening(Dated(echo, limits), limits) as port:
            return await what(port)

    return run(going())


def _sent(*pieces: bytes) -> bytes:
    return _behind(lambda port: talk(port, *pieces, pause=0.02), PATIENT)


def _head(size: int) -> bytes:
    head = b"GET /x HTTP/1.1\r\nhost: x\r\nconnection: close\r\nx: "
    return head + b"a" * (size - len(head) - 4) + b"\r\n\r\n"


@pytest.mark.parametrize("cut", [500, 1022])
def test_a_head_may_be_as_large_as_is_said_and_no_larger_in_however_many_pieces_it_comes(cut: int) -> None:
    allowed, refused = _head(1024), _head(1025)
    assert _sent(allowed[:cut], allowed[cut:]).startswith(b"HTTP/1.1 200 ")
    answer = _sent(refused[:cut], refused[cut:])
    assert answer.startswith(b"HTTP/1.1 431 ")
    assert b'"detail":"accepted: at most 1024 bytes of headers"' in answer


def test_a_large_body_after_a_head_that_came_in_pieces_does_not_count_as_head() -> None:
    sent = BODY.replace(b"10", b"4000") + b"x" * 4000
    for cut in range(len(BODY) - 2, len(BODY) + 4):
        assert _sent(sent[:cut], sent[cut:]).endswith(b"    4000")


def test_a_head_that_never_ends_is_answered_with_408_however_steadily_it_comes() -> None:
    answer = _behind(lambda port: talk(port, b"GET /x HTTP/1.1\r\n", *[b"x: y\r\n"] * 8, pause=0.05))
    assert answer.startswith(b"HTTP/1.1 408 ")
    assert b"accepted: all headers within 0.2 s" in answer


def test_the_next_head_of_a_connection_has_no_more_time_than_its_first() -> None:
    once = CLOSE.replace(b"connection: close\r\n", b"")
    answer = _behind(lambda port: talk(port, once, b"GET /x HTTP/1.1\r\n", *[b"x: y\r\n"] * 8, pause=0.05))
    assert answer.startswith(b"HTTP/1.1 200 ")
    assert b"HTTP/1.1 408 " in answer


def test_a_connection_that_says_nothing_or_empty_lines_is_closed() -> None:
    assert _behind(talk) == b""
    assert b" 200 " not in _behind(lambda port: talk(port, *[b"\r\n"] * 8, pause=0.05))


def test_a_body_that_does_not_come_in_time_is_answered_with_408_and_one_that_does_is_read() -> None:
    assert _behind(lambda port: talk(port, BODY, b"01234", b"56789", pause=0.05)).endswith(b"      10")
    answer = _behind(lambda port: talk(port, BODY, *[b"0"] * 9, pause=0.06))
    assert answer.startswith(b"HTTP/1.1 408 ")
    assert b"accepted: the body within 0.2 s" in answer


def test_an_idle_connection_is_closed_after_its_time() -> None:
    answer = _behind(lambda port: talk(port, CLOSE.replace(b"connection: close\r\n", b"")))
    assert answer.startswith(b"HTTP/1.1 200 ")


def test_an_idle_connection_has_its_own_time_and_not_that_of_a_head() -> None:
    patient = msgspec.structs.replace(SMALL, keep_alive_seconds=5.0)
    once = CLOSE.replace(b"connection: close\r\n", b"")

    async def going() -> bytes:
        async with listening(Dated(echo, patient), patient) as port:
            return await talk(port, once, CLOSE, pause=0.5)

    assert run(going()).count(b"HTTP/1.1 200 ") == 2


def test_what_follows_an_early_answer_is_not_read_for_ever() -> None:
    async def early(scope: Scope, _: Receive, send: Send) -> None:
        await send({"type": "http.response.start", "status": 413, "headers": [(b"content-length", b"0")]})
        await send({"type": "http.response.body", "body": b"", "more_body": False})

    async def going() -> bytes:
        async with listening(early, SMALL) as port:
            # Returns only when the service closes the connection.
            return await talk(port, BODY.replace(b"10", b"1000000"), *[b"x"] * 20, pause=0.02)

    assert run(going()).startswith(b"HTTP/1.1 413 ")


def test_a_client_that_takes_none_of_its_answer_is_cut_off() -> None:
    pieces, piece = 1000, b"x" * 100_000

    async def long(scope: Scope, receive: Receive, send: Send) -> None:
        await send({"type": "http.response.start", "status": 200, "headers": []})
        for _ in range(pieces):
            await send({"type": "http.response.body", "body": piece, "more_body": True})
        await send({"type": "http.response.body", "body": b"", "more_body": False})

    async def going(pause: float) -> int:
        async with listening(long, SMALL) as port:
            reader, writer = await asyncio.open_connection("127.0.0.1", port)
            writer.write(CLOSE)
            await asyncio.sleep(pause)
            taken = 0
            with suppress(ConnectionResetError):
                while some := await reader.read(1 << 20):
                    taken += len(some)
            writer.close()
            return taken

    assert run(going(0.0)) > pieces * len(piece)
    assert run(going(0.8)) < pieces * len(piece) / 2


def test_beyond_the_most_connections_only_health_is_answered() -> None:
    async def going() -> tuple[bytes, bytes]:
        async with listening(echo, SMALL) as port:
            held = [await asyncio.open_connection("127.0.0.1", port) for _ in range(3)]
            await asyncio.sleep(0.05)
            refused = await talk(port, CLOSE)
            alive = await talk(port, CLOSE.replace(b"/x", b"/health/live"))
            for _, writer in held:
                writer.close()
            return refused, alive

    refused, alive = run(going())
    assert refused.startswith(b"HTTP/1.1 503 ")
    assert b"retry-after: 1\r\n" in refused
    assert alive.startswith(b"HTTP/1.1 200 ")
