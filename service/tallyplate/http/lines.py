"""A body of many requests, a line each: read ahead within bounds, parted into lines, and never held whole."""

import asyncio
from collections.abc import AsyncIterator
from typing import Final

from litestar.types import Receive
from msgspec import Struct

from tallyplate.http.limits import DEFAULTS, Limits
from tallyplate.http.nesting import nested
from tallyplate.http.problems import Problem, problem

MAX_LINE: Final = DEFAULTS.line_bytes
"""Longest line in bytes: as long as the body of a call that takes one plate."""

MOST_LINES: Final = DEFAULTS.batch_lines
"""Most lines of one call that are answered; empty ones do not count."""

AHEAD: Final = 1024 * 1024
"""Bytes of a body that are read ahead of their answers. So much may be sent before any answer is taken; a client that
sends more must take answers meanwhile."""

PIECE: Final = 16 * 1024
"""Bytes that are parted into lines in one go; so many are still priced for a client that has hung up."""

CHUNK: Final = 64
"""Most lines that are priced in one go: some thirty milliseconds, after which other batches have their turn."""

BLANK: Final = b" \t\r"


class HungUp(Exception):  # noqa: N818 - what the client did
    """The client has closed the connection before its answers were complete."""


class Asked(Struct, frozen=True):
    """A line that is to be answered: by a price, or by a problem known already."""

    number: int
    body: bytes
    known: Problem | None = None


class Ahead:
    """What has been read of a body and not yet been taken: at most `AHEAD` bytes and the piece that came last."""

    def __init__(self) -> None:
        self._held = bytearray()
        self._ended = False
        self._changed = asyncio.Condition()

    async def fill(self, receive: Receive) -> None:
        """Read as there is room, then watch the connection; ends only by raising `HungUp`."""
        while not self._ended:
            async with self._changed:
                await self._changed.wait_for(lambda: len(self._held) < AHEAD)
            message = await receive()
            if message["type"] != "http.request":
                raise HungUp
            async with self._changed:
                self._held += message.get("body", b"")
                self._ended = not message.get("more_body", False)
                # The last line may lack its end, and one empty line more says nothing.
                self._held += b"\n" * self._ended
                self._changed.notify_all()
        while (await receive())["type"] != "http.disconnect":
            pass
        raise HungUp

    async def pieces(self) -> AsyncIterator[bytes]:
        """The body as it comes, a piece at a time."""
        while True:
            async with self._changed:
                await self._changed.wait_for(lambda: self._held or self._ended)
                piece = bytes(self._held[:PIECE])
                del self._held[:PIECE]
                self._changed.notify_all()
            if not piece:
                return
            yield piece


async def chunks(pieces: AsyncIterator[bytes], limits: Limits = DEFAULTS) -> AsyncIterator[list[Asked]]:
    """The lines of a body that are not empty, in its order, as they are complete."""
    number, answered, held = 0, 0, bytearray()
    async for piece in pieces:
        *ended, begun = piece.split(b"\n")
        lines = []
        for part in ended:
            _hold(held, part, limits.line_bytes)
            number += 1
            lines += _asked(number, bytes(held), limits)
            held.clear()
        _hold(held, begun, limits.line_bytes)
        room = limits.batch_lines - answered
        answered += len(lines)
        if answered > limits.batch_lines:
            too_many = problem("too-large", f"accepted: at most {limits.batch_lines} lines a call")
            lines[room:] = [Asked(lines[room].number, b"", too_many)]
        for start in range(0, len(lines), CHUNK):
            yield lines[start : start + CHUNK]
        if answered > limits.batch_lines:
            return


def _hold(held: bytearray, part: bytes, longest: int) -> None:
    """Add to a line; of one too long no more is held than shows that it is."""
    held += part[: longest + 1 - len(held)]


def _asked(number: int, line: bytes, limits: Limits) -> list[Asked]:
    if len(line) > limits.line_bytes:
        return [Asked(number, b"", problem("too-large", f"accepted: at most {limits.line_bytes} bytes a line"))]
    body = line.strip(BLANK)
    return [Asked(number, body, nested(body, limits.json_depth))] if body else []
