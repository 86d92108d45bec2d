"""Starts the service, prices a plate over HTTP, and says where to look: what `make demo` runs."""

import argparse
import errno
import json
import os
import re
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from http.client import HTTPConnection
from pathlib import Path
from select import select
from typing import Final

import msgspec

from tallyplate.answers import PriceAnswer
from tallyplate.cli.prices import screen, show, wrapped

HOST: Final = "127.0.0.1"
MOST: Final = 65535

PATIENCE: Final = 30.0
"""Seconds to wait for the service to become ready."""

GLUE: Final = "\u00a0"
"""A blank at which no line is broken."""


def main() -> int:
    """Price the request in a file, then go on serving until interrupted, unless told to stop."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("file", type=Path, help="a price request in JSON")
    parser.add_argument("--port", type=int, default=8080, help="0 takes one that is free")
    parser.add_argument("--once", action="store_true", help="stop after the price")
    parsed = parser.parse_args()
    console = screen()
    try:
        body = parsed.file.read_bytes()
    except OSError as error:
        raise SystemExit(f"{parsed.file}: {error.strerror}") from None
    with door(parsed.port) as listening, service(listening) as process:
        port = listening.getsockname()[1]
        console.print(f"POST /v1/prices with {parsed.file}:", markup=False)
        console.print(folded(body.decode(errors="replace"), console.width), markup=False)
        show(priced(port, body), console)
        address = f"http://{HOST}:{port}"
        console.print(
            f"\nservice        {address}\ndocumentation  {address}/docs\nOpenAPI        {address}/openapi.json"
        )
        if not parsed.once:
            try:
                console.print("\nCtrl-C stops it.")
                return process.wait()
            except KeyboardInterrupt:
                console.print("stopped")
    return 0


def door(port: int) -> socket.socket:
    """The socket that the service is to answer on; ends the program where the port cannot be had."""
    if not 0 <= port <= MOST:
        raise SystemExit(f"port {port}: out of range; accepted: 0 to {MOST}")
    try:
        return socket.create_server((HOST, port))
    except OSError as error:
        taken = error.errno == errno.EADDRINUSE
        why = "taken; end what listens there" if taken else os.strerror(error.errno or 0)
    raise SystemExit(
        f"port {port}: {why}. Another will do: `python -m tallyplate.demo --port 0 FILE` takes any that is free."
    )


@contextmanager
def service(listening: socket.socket) -> Iterator[subprocess.Popen[bytes]]:
    """The service in a process of its own, ready; ended on the way out.

    It is handed the socket, so that nobody else answers there, and a line on which it says that it is ready.
    """
    ours, theirs = socket.socketpair()
    handed = (listening.fileno(), theirs.fileno())
    command = [sys.executable, "-m", "tallyplate.cli", "serve", "--worker", *map(str, handed)]
    process = subprocess.Popen(command, pass_fds=handed, stdout=subprocess.DEVNULL)  # noqa: S603 - our own command
    theirs.close()
    try:
        if not (select([ours], [], [], PATIENCE)[0] and ours.recv(1)):
            raise SystemExit("the service did not become ready")
        yield process
    finally:
        process.terminate()
        process.wait(timeout=PATIENCE)
        ours.close()


def folded(text: str, width: int) -> str:
    """JSON as it stands in its file, but for lines too long for the screen, which are broken after commas."""
    lines = ((line.lstrip(), line) for line in text.splitlines())
    broken = (wrapped(re.sub("(?<!,) ", GLUE, said), width, line.removesuffix(said)) for said, line in lines)
    return "\n".join(broken).replace(GLUE, " ")


def priced(port: int, body: bytes) -> PriceAnswer:
    """The answer to a request in JSON; ends the program with the problem where it is refused."""
    connection = HTTPConnection(HOST, port, timeout=PATIENCE)
    connection.request("POST", "/v1/prices", body, {"content-type": "application/json"})
    response = connection.getresponse()
    content = response.read()
    if response.status != 200:  # noqa: PLR2004 - OK
        raise SystemExit(json.dumps(json.loads(content), indent=2))
    return msgspec.json.decode(content, type=PriceAnswer)


if __name__ == "__main__":
    sys.exit(main())
