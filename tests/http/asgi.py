"""One request to an ASGI layer, by hand: what it is sent, and when it hangs up, is the test's to say."""

import asyncio
from collections.abc import Sequence
from typing import Any

from litestar.types import ASGIApp


class Call:
    """A request with its answer as far as it has come; `gone` is set to hang up."""

    def __init__(self, path: str, *pieces: bytes, client: str = "192.0.2.7", caller: Any = None) -> None:
        self.scope: Any = {"type": "http", "method": "POST", "path": path, "headers": [], "client": (client, 1)}
        self.scope |= {"caller": caller} if caller else {}
        self.pieces = list(pieces)
        self.status, self.headers, self.body, self.ended = 0, dict[str, str](), b"", False
        self.gone = asyncio.Event()

    async def to(self, app: ASGIApp) -> "Call":
        """Make the call; returns when the layer does."""
        await app(self.scope, self.receive, self.send)
        return self

    async def receive(self) -> Any:
        """The next piece of the body; after the last one, that the client hung up, when it does."""
        if self.pieces:
            piece = self.pieces.pop(0)
            return {"type": "http.request", "body": piece, "more_body": bool(self.pieces)}
        await self.gone.wait()
        return {"type": "http.disconnect"}

    async def send(self, message: Any) -> None:
        """Take a part of the answer."""
        if message["type"] == "http.response.start":
            assert not self.status, "answered twice"
            self.status = message["status"]
            self.headers = {name.decode(): value.decode() for name, value in message["headers"]}
            return
        self.body += message["body"]
        self.ended = not message.get("more_body", False)


async def at_once(app: ASGIApp, calls: Sequence[Call]) -> None:
    """Make all calls at the same time."""
    async with asyncio.TaskGroup() as together:
        for call in calls:
            together.create_task(call.to(app))


async def done(send: Any, body: bytes = b"done") -> None:
    """Answer."""
    await send({"type": "http.response.start", "status": 200, "headers": []})
    await send({"type": "http.response.body", "body": body, "more_body": False})
