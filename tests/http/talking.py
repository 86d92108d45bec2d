"""A client of an ASGI application that decides itself when it sends, when it takes an answer, and when it hangs up."""

import asyncio
from collections.abc import AsyncIterator, Callable, Iterable, Sequence
from typing import Any

from litestar.types import ASGIApp

NDJSON = "application/x-ndjson"


class Client:
    """What happens at one end of a call: `sent` counts pieces that were read, `answered` is what was written."""

    def __init__(self, pieces: Iterable[bytes] | AsyncIterator[bytes], take: Callable[[], Any] | None = None) -> None:
        self.pieces, self.take = pieces, take
        self.sent, self.status, self.answered, self.ended = 0, 0, bytearray(), False
        self.gone = asyncio.Event()

    async def call(self, app: ASGIApp, path: str, media_type: str = NDJSON) -> None:
        """Make the call; returns when the application has."""
        scope: Any = {"type": "http", "http_version": "1.1", "method": "POST", "path": path, "raw_path": path.encode()}
        scope |= {"query_string": b"", "root_path": "", "scheme": "http", "headers": [], "state": {}}
        scope |= {"headers": [(b"content-type", media_type.encode())], "client": ("127.0.0.1", 1), "server": ("t", 80)}
        feed = self._messages()
        await app(scope, lambda: anext(feed), self._take)

    async def _messages(self) -> AsyncIterator[Any]:
        pieces = self.pieces if isinstance(self.pieces, AsyncIterator) else _each(self.pieces)
        async for piece in pieces:
            if self.gone.is_set():
                break
            self.sent += 1
            yield {"type": "http.request", "body": piece, "more_body": True}
        if not self.gone.is_set():
            yield {"type": "http.request", "body": b"", "more_body": False}
        await self.gone.wait()
        yield {"type": "http.disconnect"}

    async def _take(self, message: Any) -> None:
        if message["type"] == "http.response.start":
            self.status = message["status"]
            return
        if self.take:
            await self.take()
        self.answered += message["body"]
        self.ended = not message["more_body"]


async def _each(pieces: Iterable[bytes]) -> AsyncIterator[bytes]:
    for piece in pieces:
        yield piece


def told(app: ASGIApp, pieces: Sequence[bytes]) -> list[bytes]:
    """The lines of the answer to a batch sent in these pieces, which comes whole."""

    async def call() -> Client:
        client = Client(pieces)
        await client.call(app, "/v1/prices/batch")
        return client

    client = asyncio.run(call())
    assert client.status == 200
    assert client.ended
    return bytes(client.answered).splitlines()
