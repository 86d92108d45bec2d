"""An application behind the real server and a real socket, in the loop of the test."""

import asyncio
import socket
from collections.abc import AsyncIterator, Coroutine
from contextlib import asynccontextmanager, suppress
from typing import Any, TypeVar

import uvloop
from litestar.types import ASGIApp, Receive, Scope, Send

from tallyplate.cli.listening import configured
from tallyplate.http.connections import Door
from tallyplate.http.drain import Drain, Server
from tallyplate.http.limits import Limits

Got = TypeVar("Got")


@asynccontextmanager
async def listening(
    app: ASGIApp, limits: Limits, drain: Drain | None = None, door: Door | None = None
) -> AsyncIterator[int]:
    """The port on which an application answers."""
    with socket.create_server(("127.0.0.1", 0)) as at:
        port: int = at.getsockname()[1]
        server = Server(configured(app, limits, door), drain or Drain(), limits, alone=True, loopback=True)
        serving = asyncio.create_task(server.serve([at]))
        while not server.started:  # noqa: ASYNC110 - the server tells nobody
            await asyncio.sleep(0.01)
        try:
            yield port
        finally:
            server.handle_exit(2, None)
            await serving


async def talk(port: int, *pieces: bytes, pause: float = 0.0) -> bytes:
    """What comes back, until the service closes the connection, for bytes that are sent with pauses between them."""
    reader, writer = await asyncio.open_connection("127.0.0.1", port)
    answer = bytearray()

    async def listen() -> None:
        with suppress(OSError):
            while some := await reader.read(65_536):
                answer.extend(some)

    async with asyncio.timeout(5), asyncio.TaskGroup() as together:
        together.create_task(listen())
        for piece in pieces:
            if not writer.is_closing():
                writer.write(piece)
            await asyncio.sleep(pause)
    writer.close()
    return bytes(answer)


async def echo(scope: Scope, receive: Receive, send: Send) -> None:
    """Reads a body and says how long it was."""
    if scope["type"] != "http":  # type: ignore[comparison-overlap] # an enumeration of texts
        return
    size, more = 0, True
    while more:
        message = await receive()
        if message["type"] != "http.request":
            return
        size, more = size + len(message["body"]), message.get("more_body", False)
    await send({"type": "http.response.start", "status": 200, "headers": [(b"content-length", b"8")]})
    await send({"type": "http.response.body", "body": b"%8d" % size, "more_body": False})


def run(main: Coroutine[Any, Any, Got]) -> Got:
    """Run in a loop of the kind that the service has."""
    with asyncio.Runner(loop_factory=uvloop.new_event_loop) as runner:
        return runner.run(main)
