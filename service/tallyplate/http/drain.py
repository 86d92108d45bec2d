"""The end of a process that loses no request: first it is not ready, then it says goodbye, and only then it is deaf.

Closing a connection that lies idle, or a listening socket whose queue is not empty, loses what a client is sending at
that moment. So every answer after SIGTERM closes its connection itself, which the client sees; and before the socket
closes, the kernel is told to take no more connections while those in its queue are still served.
"""

import asyncio
import ctypes
import signal
import socket
import struct
import sys
import time
from types import FrameType
from typing import Final

import uvicorn
from litestar.enums import ScopeType
from litestar.types import ASGIApp, Message, Receive, Scope, Send

from tallyplate.http.limits import Limits
from tallyplate.http.problems import problem
from tallyplate.http.refusing import send_problem

LAST: Final = 0.3
"""Seconds for which connections in the kernel's queue are still taken once no more come into it."""

SILENT: Final = 2.0
"""Seconds for which a connection that came last may say nothing."""

STEP: Final = 0.05
"""Seconds between two looks whether the end has come."""

QUIET: Final = 4
"""Looks at which nobody has called, after which nobody is there."""

SO_ATTACH_FILTER: Final = 26
"""From asm-generic/socket.h of Linux; Python names it nowhere."""

DROP_ALL: Final = struct.pack("HBBI", 0x06, 0, 0, 0)
"""A classic BPF program of one instruction: BPF_RET | BPF_K with 0, keep no byte of a packet (linux/bpf_common.h)."""


class Drain:
    """Whether the process has begun to end, and when."""

    def __init__(self) -> None:
        self.begun: float | None = None

    def begin(self) -> None:
        """Say goodbye from now on."""
        self.begun = self.begun or time.monotonic()

    def rest(self, seconds: float) -> float:
        """What is left of some seconds since then."""
        return seconds if self.begun is None else max(0.0, self.begun + seconds - time.monotonic())


class Draining:
    """An application that says so on every answer, and is not ready any more."""

    def __init__(self, app: ASGIApp, drain: Drain) -> None:
        self.app, self.drain = app, drain

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass everything through; answers close their connections once the end has begun."""
        if scope["type"] != ScopeType.HTTP:
            await self.app(scope, receive, send)
            return

        async def closing(message: Message) -> None:
            # Looked at when the answer begins, since the end may begin while a request is worked on.
            if self.drain.begun is not None and message["type"] == "http.response.start":
                message["headers"] = [*message["headers"], (b"connection", b"close")]
            await send(message)

        if self.drain.begun is not None and scope["path"] == "/health/ready":
            await send_problem(closing, problem("not-ready", "the service is about to end"))
            return
        await self.app(scope, receive, closing)


def no_more(listening: socket.socket) -> None:
    """Take no further connection into the queue of a socket; does nothing where the system is not Linux."""
    if sys.platform != "linux":
        return
    program = ctypes.create_string_buffer(DROP_ALL)
    try:
        listening.setsockopt(socket.SOL_SOCKET, SO_ATTACH_FILTER, struct.pack("HL", 1, ctypes.addressof(program)))
    except OSError:  # A few connections may then be lost when the socket closes.
        return


class Server(uvicorn.Server):
    """A server that drains when it is told to end.

    `alone` says that the listening socket is its own and not shared with other workers; `loopback` that nobody on
    another machine needs time to see that it is not ready.
    """

    def __init__(self, config: uvicorn.Config, drain: Drain, limits: Limits, *, alone: bool, loopback: bool) -> None:
        super().__init__(config)
        self.drain, self.limits, self.alone, self.loopback = drain, limits, alone, loopback
        self.life: socket.socket | None = None
        """Where a worker says that it is ready, and sees that its parent is gone."""
        self._at_once = False

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Begin to take connections."""
        await super().startup(sockets)
        if self.life:
            self.life.send(b"r")
            asyncio.get_running_loop().add_reader(self.life, self._orphaned)

    def _orphaned(self) -> None:
        if self.life:
            asyncio.get_running_loop().remove_reader(self.life)
        self.handle_exit(signal.SIGTERM, None)

    def handle_exit(self, sig: int, frame: FrameType | None) -> None:
        """SIGTERM, or SIGINT from somebody at a keyboard, who does not wait for others."""
        super().handle_exit(sig, frame)
        # The server would end by the signal itself once it is done; it ends by itself, with 0.
        self._captured_signals.clear()
        self._at_once = sig == signal.SIGINT
        self.drain.begin()

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Drain, then end as the server does: what is being answered is answered."""
        if not self._at_once:
            await self._until_left(self.drain.rest(self.limits.drain_seconds))
            if self.alone:
                for listening in sockets or []:
                    no_more(listening)
            await asyncio.sleep(LAST)
            for accepting in self.servers:
                accepting.close()
            await self._until_asked()
        await super().shutdown(sockets)

    async def _until_asked(self) -> None:
        """Wait a little for those who have connected and not asked yet: what they send is on its way."""
        for _ in range(round(SILENT / STEP)):
            # Before its first request a connection has no cycle.
            if not any(getattr(one, "cycle", None) is None for one in self.server_state.connections):
                return
            await asyncio.sleep(STEP)

    async def _until_left(self, seconds: float) -> None:
        """Wait; on loopback, where no balancer on another machine is about to connect, only while anybody calls."""
        quiet, answered = 0, self.server_state.total_requests
        until = time.monotonic() + seconds
        while time.monotonic() < until:
            calls = self.server_state.connections or self.server_state.total_requests != answered
            quiet, answered = 0 if calls else quiet + 1, self.server_state.total_requests
            if self.force_exit or (self.loopback and quiet >= QUIET):
                return
            await asyncio.sleep(STEP)
