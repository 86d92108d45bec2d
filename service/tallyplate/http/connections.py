"""A connection, bounded: heads that are too large or never end, bodies that nobody waits for, answers nobody takes.

The server bounds idle connections alone, and only after their first answer. What can be told only from the bytes is
bounded here, below the application; what an application sees is bounded in `deadlines`.
"""

import asyncio
from collections.abc import Callable, Iterable
from typing import Any

from litestar.types import ASGIApp, Receive, Scope, Send
from uvicorn.protocols.http.httptools_impl import STATUS_LINE, HttpToolsProtocol, RequestResponseCycle

from tallyplate.http.limits import Limits
from tallyplate.http.problems import MEDIA_TYPE, encoded, problem
from tallyplate.http.refusing import Answer, exempt, send_problem

END = b"\r\n\r\n"

LINGER = 1.0
"""Seconds for which what a refused client still sends is thrown away, so that its answer is not lost to a reset."""


Door = Callable[[str, str, Iterable[tuple[bytes, bytes]]], Answer | None]
"""Method, path and headers of a request to the whole answer, where it goes no further."""


class Connection(HttpToolsProtocol):
    """One connection to a client."""

    limits = Limits()
    door: Door | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override] # as its parent
        """Begin; a client that says nothing at all is waited for no longer than one that is slow."""
        super().connection_made(transport)
        self._between = True  # Between two requests, or in the head of one.
        self._head, self._tail, self._deaf, self._away = 0, b"", False, False
        self._stuck: asyncio.TimerHandle | None = None
        self._late: asyncio.TimerHandle | None = self.loop.call_later(self.limits.head_seconds, self._is_late)
        if len(self.connections) > self.limits.connections:
            self.app = _crowded(self.app)

    def connection_lost(self, exc: Exception | None) -> None:
        """End."""
        self._unset(self._late)
        self._unset(self._stuck)
        super().connection_lost(exc)

    def data_received(self, data: bytes) -> None:
        """Count what comes of a head before it is parsed: the parser itself would hold any amount."""
        if self._deaf:
            return
        if self._between:
            seen = self._tail + data
            end = seen.find(END)
            self._head += len(data) if end < 0 else end + len(END) - len(self._tail)
            self._tail = seen[-3:]
            if self._head > self.limits.head_bytes:
                self._refuse("head-too-large", f"accepted: at most {self.limits.head_bytes} bytes of headers")
                return
        super().data_received(data)
        if self._between and self._head and self._late is None and not self.transport.is_closing():
            self._late = self.loop.call_later(self.limits.head_seconds, self._is_late)

    def on_headers_complete(self) -> None:
        """From here on the application sees the request."""
        self._between = False
        self._late = self._unset(self._late)
        if not self._turned_away():
            super().on_headers_complete()

    def _turned_away(self) -> bool:
        """Whether a request went no further than the door; what still comes of its body is thrown away."""
        method = self.parser.get_method().decode("ascii")
        # Those are what costs. Answers must keep their order, and HTTP/1.0 knows no connection that stays.
        if self.door is None or method != "POST" or self._answering() or self.parser.get_http_version() != "1.1":
            return False
        if not (self.parser.should_keep_alive() and self.url.isascii()):
            return False
        told = self.door(method, self.url.partition(b"?")[0].decode("ascii"), self.headers)
        if told is None:
            return False
        status, headers, content = told
        head = [b"%b: %b\r\n" % header for header in (*self.server_state.default_headers, *headers)]
        self.transport.write(b"".join((STATUS_LINE[status], *head, b"\r\n", content)))
        self._away = True
        self.on_response_complete()
        return True

    def on_body(self, body: bytes) -> None:
        """More of a body."""
        if not self._away:
            super().on_body(body)

    def on_message_complete(self) -> None:
        """The next byte begins another request."""
        self._between, self._head, self._tail = True, 0, b""
        self._late = self._unset(self._late)
        if not self._away:
            super().on_message_complete()
        self._away = False

    def on_response_complete(self) -> None:
        """An answer may come before its request is complete: the rest is thrown away, but not for ever."""
        super().on_response_complete()
        if not self._between and self._late is None:
            self._late = self.loop.call_later(self.limits.body_seconds, self._is_late)

    def _is_late(self) -> None:
        self._late = None
        if self.transport.is_closing():
            return
        if self._answering():
            # The next request of a client that has not been answered yet is not late.
            self._late = self.loop.call_later(self.limits.head_seconds, self._is_late)
        elif self._between and self._head:
            self._refuse("slow-request", f"accepted: all headers within {self.limits.head_seconds:g} s")
        else:
            self.transport.close()

    def _answering(self) -> bool:
        cycle: RequestResponseCycle | None = self.cycle  # None before the first request.
        return cycle is not None and not cycle.response_complete

    def _refuse(self, code: str, detail: str) -> None:
        """Answer what never became a request, unless another answer is under way."""
        self._deaf, self._late = True, self._unset(self._late)
        if self._answering():
            self.transport.close()
            return
        what = problem(code, detail)
        content = encoded(what)
        head = b"content-type: %b\r\ncontent-length: %d\r\nconnection: close\r\n\r\n"
        said = head % (MEDIA_TYPE.encode(), len(content))
        self.transport.write(STATUS_LINE[what.status] + said + content)
        self.loop.call_later(LINGER, self.transport.close)

    def pause_writing(self) -> None:
        """The client does not take its answer as fast as it is made."""
        super().pause_writing()
        self._stuck = self._stuck or self.loop.call_later(self.limits.answer_seconds, self.transport.abort)

    def resume_writing(self) -> None:
        """The client has taken most of it."""
        super().resume_writing()
        self._stuck = self._unset(self._stuck)

    def timeout_keep_alive_handler(self) -> None:
        """Close an idle connection, and drop one whose client has left the end of its answer lying."""
        if self.transport.get_write_buffer_size():
            self.transport.abort()
        super().timeout_keep_alive_handler()

    @staticmethod
    def _unset(timer: asyncio.TimerHandle | None) -> None:
        if timer is not None:
            timer.cancel()


def bounded(limits: Limits, door: Door | None = None) -> type[Connection]:
    """Connections with other limits, and with a door at which requests may be turned away."""

    class Bounded(Connection):
        pass

    Bounded.limits = limits
    Bounded.door = staticmethod(door) if door else None
    return Bounded


def _crowded(app: Any) -> ASGIApp:  # noqa: ANN401 - the server's own spelling of ASGI
    async def crowded(scope: Scope, receive: Receive, send: Send) -> None:
        if not exempt(scope):
            what = problem("overloaded", "too many connections are open")
            await send_problem(send, what, retry_after=1, close=True)
            return
        await app(scope, receive, send)

    return crowded
