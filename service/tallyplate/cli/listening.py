"""The server around the application: its socket, its connections, and its end."""

import signal
import socket
import sys
from collections.abc import Iterable
from pathlib import Path

import uvicorn
from litestar.types import ASGIApp

from tallyplate.cli.owned_files import naming
from tallyplate.http.connections import Door, bounded
from tallyplate.http.drain import Drain, Server
from tallyplate.http.limits import Limits, read_limits
from tallyplate.http.observe import Observed
from tallyplate.http.refusing import Answer
from tallyplate.rates.files import DataError

BACKLOG = 2048
"""Connections that wait in the kernel until they are taken."""

SPARE = 200
"""Files that are open beside connections: libraries, data, sockets of our own."""


class Handed:
    """What a worker is handed by its parent: the socket to listen on, and one end of a pair that says both live."""

    def __init__(self, listening: int, life: int) -> None:
        self.listening, self.life = socket.socket(fileno=listening), socket.socket(fileno=life)


def limits_of(path: Path | None) -> Limits:
    """The limits of a file, or the usual ones; raises `DataError` with what is wrong, or `OSError`."""
    if path is None:
        return Limits()
    with naming(path):
        return read_limits(path)


def bound(host: str, port: int) -> socket.socket:
    """A socket that listens on an address; raises `DataError` where it can't."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    try:
        return socket.create_server((host, port), family=family, backlog=BACKLOG)
    except OSError as error:
        message = f"--host {host} --port {port}: {(error.strerror or str(error)).lower()}"
        raise DataError(message) from None


def configured(app: ASGIApp, limits: Limits, door: Door | None = None) -> uvicorn.Config:
    """The server's settings."""
    return uvicorn.Config(
        app,
        http=bounded(limits, door),
        ws="none",
        access_log=False,
        server_header=False,
        log_level="warning",
        timeout_keep_alive=limits.keep_alive_seconds,  # type: ignore[arg-type] # handed to the loop's clock alone
        timeout_graceful_shutdown=limits.finish_seconds,
        # Where nobody is trusted, what a caller says of its address is not even read.
        proxy_headers=bool(limits.trusted_proxies),
        forwarded_allow_ips=list(limits.trusted_proxies),
    )


def serve(app: Observed, limits: Limits, drain: Drain, at: socket.socket | Handed, *, loopback: bool) -> None:
    """Answer until SIGTERM or SIGINT, drain, and return."""
    _room_for(limits.connections)
    alone = isinstance(at, socket.socket)

    def door(method: str, path: str, headers: Iterable[tuple[bytes, bytes]]) -> Answer | None:
        # Once the end has begun, an answer also says goodbye, which it does on the long way.
        return None if drain.begun is not None else app.turned_away(method, path, headers)

    server = Server(configured(app, limits, door), drain, limits, alone=alone, loopback=loopback)
    if isinstance(at, socket.socket):
        server.run([at])
        return
    signal.signal(signal.SIGUSR1, lambda *_: drain.begin())
    server.life = at.life
    server.run([at.listening])


def _room_for(connections: int) -> None:
    """As many open files as connections need, as far as the system lets us."""
    if sys.platform == "win32":
        return
    import resource  # noqa: PLC0415 - there is none on Windows

    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    wanted = connections + SPARE if hard == resource.RLIM_INFINITY else min(connections + SPARE, hard)
    if soft != resource.RLIM_INFINITY and soft < wanted:
        resource.setrlimit(resource.RLIMIT_NOFILE, (wanted, hard))
