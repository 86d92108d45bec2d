"""Starts the service, prices a plate over HTTP, and says where to look: what `make demo` runs."""

import argparse
import json
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from http.client import HTTPConnection
from pathlib import Path

import msgspec
from rich.console import Console

from tallyplate.answers import PriceAnswer
from tallyplate.cli.prices import show

PATIENCE = 30.0
"""Seconds to wait for the service to become ready."""


def main() -> int:
    """Price the request in a file, then go on serving until interrupted, unless told to stop."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("file", type=Path, help="a price request in JSON")
    parser.add_argument("--port", type=int, default=8080)
    parser.add_argument("--once", action="store_true", help="stop after the price")
    parsed = parser.parse_args()
    console = Console()
    try:
        body = parsed.file.read_bytes()
    except OSError as error:
        raise SystemExit(f"{parsed.file}: {error.strerror}") from None
    with service(parsed.port) as process:
        console.print(f"POST /v1/prices with {parsed.file}:", markup=False)
        console.print(body.decode(errors="replace"), markup=False)
        show(priced(parsed.port, body), console)
        address = f"http://127.0.0.1:{parsed.port}"
        console.print(
            f"\nservice        {address}\ndocumentation  {address}/docs\nOpenAPI        {address}/openapi.json"
        )
        if not parsed.once:
            console.print("\nCtrl-C stops it.")
            try:
                process.wait()
            except KeyboardInterrupt:
                console.print("stopped")
    return 0


@contextmanager
def service(port: int) -> Iterator[subprocess.Popen[bytes]]:
    """The service in a process of its own, ready; ended on the way out."""
    command = [sys.executable, "-m", "tallyplate.cli", "serve", "--port", str(port)]
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL)  # noqa: S603 - our own command
    try:
        _until_ready(process, port)
        yield process
    finally:
        process.terminate()
        process.wait(timeout=PATIENCE)


def _until_ready(process: subprocess.Popen[bytes], port: int) -> None:
    deadline = time.monotonic() + PATIENCE
    while process.poll() is None and time.monotonic() < deadline:
        try:
            connection = HTTPConnection("127.0.0.1", port, timeout=1)
            connection.request("GET", "/health/ready")
            if connection.getresponse().status == 200:  # noqa: PLR2004 - OK
                return
        except OSError:
            time.sleep(0.05)
    raise SystemExit(f"the service did not become ready on port {port}; is the port taken?")


def priced(port: int, body: bytes) -> PriceAnswer:
    """The answer to a request in JSON; ends the program with the problem where it is refused."""
    connection = HTTPConnection("127.0.0.1", port, timeout=PATIENCE)
    connection.request("POST", "/v1/prices", body, {"content-type": "application/json"})
    response = connection.getresponse()
    content = response.read()
    if response.status != 200:  # noqa: PLR2004 - OK
        raise SystemExit(json.dumps(json.loads(content), indent=2))
    return msgspec.json.decode(content, type=PriceAnswer)


if __name__ == "__main__":
    sys.exit(main())
