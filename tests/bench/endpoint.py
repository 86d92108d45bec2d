"""The price endpoint against a bare echo: requests a second of one core, by each server's own processor time."""

import itertools
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from http.client import HTTPConnection
from importlib.util import find_spec
from pathlib import Path

import tallyplate
from tests.bench.library import PLATE
from tests.bench.ratios import Said, row

ROUNDS, CALLS = 12, 300
PATIENCE = 30.0


@contextmanager
def server(*command: str) -> Iterator["Server"]:
    """A server in a process of its own, ended on the way out."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    process = subprocess.Popen(
        [sys.executable, "-m", *(part.replace("PORT", str(port)) for part in command)], stdout=subprocess.DEVNULL
    )
    try:
        yield Server(process.pid, port)
    finally:
        process.terminate()
        process.wait(timeout=PATIENCE)


class Server:
    """A running server, and one kept-alive connection to it."""

    def __init__(self, pid: int, port: int) -> None:
        self.tasks = Path(f"/proc/{pid}/task")
        deadline = time.monotonic() + PATIENCE
        while True:
            try:
                socket.create_connection(("127.0.0.1", port), timeout=1).close()
                break
            except OSError:
                if time.monotonic() > deadline:
                    raise
                time.sleep(0.05)
        self.connection = HTTPConnection("127.0.0.1", port, timeout=PATIENCE)

    def processor_seconds(self) -> float:
        """User and system time that the server has taken."""
        threads = (one.read_text(encoding="ascii") for one in self.tasks.glob("*/schedstat"))
        return sum(int(said.split()[0]) for said in threads) / 1e9

    def ask(self, body: bytes) -> None:
        """One request; anything but 200 ends the benchmark."""
        self.connection.request("POST", "/v1/prices", body, {"content-type": "application/json"})
        response = self.connection.getresponse()
        content = response.read()
        assert response.status == 200, content


def report() -> Iterator[Said]:
    """Throughput of the endpoint as a share of the echo's, logs and metrics on."""
    body = PLATE.read_bytes()
    lengths = itertools.count(1)

    def new_plate() -> bytes:
        return body.replace(b'"700 mm"', b'"%d.%03d mm"' % divmod(700_000 + next(lengths), 1000))

    with ExitStack() as stack:
        answer = Path(stack.enter_context(tempfile.TemporaryDirectory())) / "answer.json"
        answer.write_bytes(tallyplate.load().price_json(body))
        echo = stack.enter_context(server("tests.bench.echo", "PORT", str(answer)))
        ours = stack.enter_context(server("tallyplate.cli", "serve", "--port", "PORT"))
        contenders: dict[str, tuple[Server, Callable[[], bytes]]] = {
            "echo": (echo, lambda: body),
            "again": (ours, lambda: body),
            "new": (ours, new_plate),
        }
        if find_spec("fastapi"):
            typed = stack.enter_context(server("tests.bench.typed_echo", "PORT", str(answer)))
            contenders["typed echo"] = (typed, lambda: body)
        taken = dict.fromkeys(contenders, 0.0)
        for turn in range(ROUNDS + 1):
            for name, (contender, request) in contenders.items():
                # A server closes a connection that lay idle while others ran; the next request opens another.
                contender.connection.close()
                before = contender.processor_seconds()
                for _ in range(CALLS):
                    contender.ask(request())
                # The first turn warms up.
                taken[name] += contender.processor_seconds() - before if turn else 0.0
    yield f"echo: {taken['echo'] / ROUNDS / CALLS * 1e6:.0f} us of processor time a request"
    yield row(
        "price endpoint / bare echo: the same request again", taken["echo"] / taken["again"], "at least 0.55, aim 0.75"
    )
    yield row("  a plate never seen before", taken["echo"] / taken["new"], "")
    if "typed echo" in taken:
        typed_echo = taken["typed echo"]
        yield row("price endpoint / bare echo in FastAPI: the same request again", typed_echo / taken["again"], "")
        yield row("  a plate never seen before", typed_echo / taken["new"], "")
    else:
        yield "price endpoint / bare echo in FastAPI: absent (fastapi is not installed)"
