"""A client that hangs up in the middle of its answer: the work for it stops."""

import asyncio
import json
import struct
from collections.abc import Iterator
from socket import SO_LINGER, SOL_SOCKET, create_connection
from typing import Any

import pytest

from tallyplate.http import drawings
from tallyplate.http.app import create_app
from tallyplate.http.limits import Limits
from tests.faults.behind import listening, run
from tests.faults.load import message
from tests.plates import MINIMAL, installation

PIECES = 20_000


@pytest.mark.parametrize("at_once", [False, True], ids=["closed", "reset"])
def test_a_drawing_whose_client_hangs_up_is_not_drawn_to_its_end(
    monkeypatch: pytest.MonkeyPatch, at_once: bool
) -> None:
    made = 0

    def endless(_: Any) -> Iterator[bytes]:
        nonlocal made
        for _ in range(PIECES):
            made += 1
            yield b"x" * 10_000

    monkeypatch.setattr(drawings, "svg_pieces", endless)

    async def going() -> int:
        async with listening(create_app(installation()), Limits()) as port:
            client = create_connection(("127.0.0.1", port))
            client.sendall(message("/v1/drawings", json.dumps(MINIMAL).encode()))
            assert b" 200 " in await asyncio.to_thread(client.recv, 4096)
            if at_once:
                client.setsockopt(SOL_SOCKET, SO_LINGER, struct.pack("ii", 1, 0))
            client.close()
            # Until no piece has been made for a while.
            before = -1
            while made != before:
                before = made
                await asyncio.sleep(0.3)
            return made

    # A reset may come before the first piece is made.
    assert run(going()) < PIECES / 2
