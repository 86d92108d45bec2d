"""A batch as a stream: answers come while lines still go out, what is held is bounded, others are served meanwhile."""

import asyncio
import json
import socket
import threading
import time
import tracemalloc
from collections.abc import AsyncIterator, Iterator
from datetime import date
from typing import Any
from urllib.parse import urlsplit

import httpx
import pytest

from tallyplate.http import batch
from tallyplate.http.app import create_app
from tallyplate.http.lines import AHEAD, CHUNK, PIECE
from tallyplate.installation import Form, Installation
from tests.http.talking import NDJSON, Client
from tests.plates import MINIMAL, installation
from tests.serving import Logs

PATH = "/v1/prices/batch"
LINE = json.dumps(MINIMAL).encode() + b"\n"
SERVICE = create_app(installation())
SOON = 30.0
"""Seconds after which something that waits is taken to wait for ever."""


def _endless(lines: int = 1_000_000) -> Iterator[bytes]:
    return (LINE for _ in range(lines))


@pytest.fixture
def priced(monkeypatch: pytest.MonkeyPatch) -> list[bytes]:
    """The lines that have been priced."""
    lines: list[bytes] = []
    price = Installation.price_json

    def counting(self: Installation, body: bytes, today: date | None = None, form: Form = Form.INSIDE) -> bytes:
        lines.append(body)
        return price(self, body, today, form)

    monkeypatch.setattr(Installation, "price_json", counting)
    return lines


def test_a_line_is_answered_before_the_next_is_sent() -> None:
    async def ping_pong() -> None:
        client = Client(())

        async def one_at_a_time() -> AsyncIterator[bytes]:
            for count in range(1, 4):
                yield LINE
                while client.answered.count(b"\n") < count:  # noqa: ASYNC110 - it looks from outside
                    await asyncio.sleep(0.001)

        client.pieces = one_at_a_time()
        await asyncio.wait_for(client.call(SERVICE, PATH), SOON)
        assert client.ended

    asyncio.run(ping_pong())


def _peak(lines: int) -> int:
    """The most memory that a batch of so many lines takes, its answers thrown away as they come."""

    async def call() -> None:
        client = Client(_endless(lines))

        async def forget() -> None:
            client.answered.clear()

        client.take = forget
        await client.call(SERVICE, PATH)
        assert client.sent == lines

    tracemalloc.start()
    asyncio.run(call())
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return peak


def test_twenty_times_the_lines_take_no_more_memory() -> None:
    installation().price_json(LINE)
    ample = AHEAD + CHUNK * 3 * len(installation().price_json(LINE))
    few, many = _peak(1_000), _peak(20_000)
    assert many < few + ample


def test_where_no_answers_are_taken_lines_are_neither_read_nor_priced(priced: list[bytes]) -> None:
    async def sulk() -> int:
        client = Client(_endless(), take=asyncio.Event().wait)
        call = asyncio.ensure_future(client.call(SERVICE, PATH))
        before = -1
        while client.sent > before:
            before = client.sent
            await asyncio.sleep(0.2)
        call.cancel()
        return client.sent

    read = asyncio.run(sulk())
    assert len(priced) <= CHUNK
    assert AHEAD <= read * len(LINE) <= AHEAD + 2 * PIECE


def test_a_client_that_takes_nothing_for_too_long_is_given_up(monkeypatch: pytest.MonkeyPatch, logs: Logs) -> None:
    monkeypatch.setattr(batch, "PATIENCE", 0.05)
    client = Client(_endless(), take=asyncio.Event().wait)
    asyncio.run(asyncio.wait_for(client.call(SERVICE, PATH), SOON))
    assert not client.ended
    assert "batch given up" in [entry["event"] for entry in logs]


def test_a_client_that_hangs_up_stops_the_work(priced: list[bytes], logs: Logs) -> None:
    async def leave() -> None:
        client = Client(_endless())

        async def hang_up() -> None:
            client.gone.set()

        client.take = hang_up
        await asyncio.wait_for(client.call(SERVICE, PATH), SOON)
        assert not client.ended

    asyncio.run(leave())
    assert 0 < len(priced) <= 4 * CHUNK
    assert "batch hung up" in [entry["event"] for entry in logs]


def test_a_client_that_hangs_up_after_its_last_line_stops_the_work_too(priced: list[bytes]) -> None:
    lines = 10 * CHUNK

    async def leave() -> None:
        client = Client([LINE * lines])

        async def hang_up() -> None:
            client.gone.set()
            await asyncio.sleep(0.01)

        client.take = hang_up
        await asyncio.wait_for(client.call(SERVICE, PATH), SOON)

    asyncio.run(leave())
    assert len(priced) <= 3 * CHUNK


def test_others_are_served_while_a_batch_is_priced(monkeypatch: pytest.MonkeyPatch) -> None:
    begun, served = threading.Event(), threading.Event()

    def waits(*_: Any, **__: Any) -> bytes:
        begun.set()
        assert served.wait(SOON), "the batch keeps others waiting"
        return b"{}"

    async def both() -> None:
        client = Client([LINE])
        call = asyncio.ensure_future(client.call(SERVICE, PATH))
        while not begun.is_set():  # noqa: ASYNC110 - a thread sets it
            await asyncio.sleep(0.001)
        transport = httpx.ASGITransport(SERVICE)  # type: ignore[arg-type]  # typed tighter than ASGI
        async with httpx.AsyncClient(transport=transport, base_url="http://tallyplate.test") as other:
            assert (await other.get("/health/live")).status_code == 200
            assert not call.done()
        served.set()
        await asyncio.wait_for(call, SOON)
        assert client.answered == b"{}\n"

    monkeypatch.setattr(Installation, "price_json", waits)
    asyncio.run(both())


def test_over_the_wire_a_mebibyte_may_be_sent_before_any_answer_is_taken(address: str) -> None:
    lines = AHEAD // len(LINE)
    response = httpx.post(f"{address}{PATH}", content=LINE * lines, headers={"content-type": NDJSON}, timeout=SOON)
    answers = set(response.content.splitlines())
    assert response.content.count(b"\n") == lines
    assert answers == {installation().price_json(LINE)}


def test_over_the_wire_a_closed_connection_ends_the_call(address: str) -> None:
    where = urlsplit(address)
    fields = ("host: 127.0.0.1", f"content-type: {NDJSON}", "transfer-encoding: chunked")
    head = "\r\n".join([f"POST {PATH} HTTP/1.1", *fields, "", ""]).encode()
    before = _ended_calls(address)
    with socket.create_connection((where.hostname, where.port), timeout=SOON) as connection:
        connection.sendall(head + b"%x\r\n%b\r\n" % (len(LINE), LINE))
        assert connection.recv(1_000).startswith(b"HTTP/1.1 200")
        assert _ended_calls(address) == before
    deadline = time.monotonic() + SOON
    while _ended_calls(address) == before:
        assert time.monotonic() < deadline, "the call goes on without its client"
        time.sleep(0.02)


def _ended_calls(address: str) -> float:
    """Batches that have ended, by the service's own count."""
    counts = [
        float(line.rpartition(" ")[2])
        for line in httpx.get(f"{address}/metrics").text.splitlines()
        if line.startswith("tallyplate_answers_total") and f'"{PATH}"' in line
    ]
    return sum(counts)
