"""The service as tests reach it: in this process, or in one of its own behind a real socket."""

import asyncio
import os
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, MutableMapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import httpx
from litestar.types import ASGIApp

Ask = Callable[..., httpx.Response]
Logs = list[MutableMapping[str, Any]]

COMMAND = str(Path(sys.executable).with_name("tallyplate"))
"""The command as it is installed."""


def asking(app: ASGIApp) -> Ask:
    """A function that sends one request to an application and gives its answer."""

    async def answer(method: str, path: str, **how: Any) -> httpx.Response:
        transport = httpx.ASGITransport(app)  # type: ignore[arg-type]  # typed tighter than ASGI
        async with httpx.AsyncClient(transport=transport, base_url="http://tallyplate.test") as client:
            return await client.request(method, path, **how)

    return lambda method, path, **how: asyncio.run(answer(method, path, **how))


def free_port() -> int:
    """A port of this host that nobody listens on."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port: int = free.getsockname()[1]
        return port


@contextmanager
def serving(
    *before_command: str, log: Path = Path(os.devnull), executable: str = COMMAND, options: Sequence[str] = ()
) -> Iterator[str]:
    """The address of the service as `tallyplate [before_command] serve [options]` starts it, once it is ready."""
    port = free_port()
    command = [executable, *before_command, "serve", "--port", str(port), *options]
    with log.open("wb") as stdout:
        process = subprocess.Popen(command, stdout=stdout)
    url = f"http://127.0.0.1:{port}"
    try:
        _wait_until_ready(process, url)
        yield url
    finally:
        process.terminate()
        process.wait(timeout=30)


def _wait_until_ready(process: subprocess.Popen[bytes], url: str) -> None:
    for _ in range(600):
        assert process.poll() is None, "the service ended instead of starting"
        try:
            if httpx.get(f"{url}/health/ready").status_code == 200:
                return
        except httpx.TransportError:
            pass
        time.sleep(0.05)
    raise AssertionError("the service did not become ready")
