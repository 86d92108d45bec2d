"""The service in processes of its own, told to end, killed and restarted."""

import json
import subprocess
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

import httpx

from tests.serving import COMMAND, free_port

PATIENCE = 60.0


class Service:
    """A running service."""

    def __init__(self, process: subprocess.Popen[bytes], port: int, log: Path) -> None:
        self.process, self.port, self.log = process, port, log
        self.url = f"http://127.0.0.1:{port}"

    def lines(self, event: str) -> list[dict[str, Any]]:
        """What the log says of an event so far."""
        told = [json.loads(line) for line in self.log.read_text(encoding="utf-8").splitlines() if line.endswith("}")]
        return [line for line in told if line["event"] == event]

    def until(self, holds: Callable[[], bool]) -> None:
        """Wait until something holds."""
        deadline = time.monotonic() + PATIENCE
        while not holds():
            assert time.monotonic() < deadline, "it never came to hold"
            time.sleep(0.05)

    def ready(self) -> bool:
        """Whether it answers that it is ready."""
        with suppress(httpx.TransportError):
            return httpx.get(f"{self.url}/health/ready").status_code == 200
        return False


@contextmanager
def service(folder: Path, *options: str, before: tuple[str, ...] = (), limits: str = "") -> Iterator[Service]:
    """The service as `tallyplate [before] serve [options]` starts it, with limits in TOML, ready."""
    file, log, port = folder / "limits.toml", folder / "log", free_port()
    file.write_text(limits, encoding="utf-8")
    command = [COMMAND, *before, "serve", "--port", str(port), "--limits", str(file), *options]
    with log.open("wb") as out:
        process = subprocess.Popen(command, stdout=out)
    served = Service(process, port, log)
    try:
        served.until(served.ready)
        yield served
    finally:
        process.terminate()
        process.wait(PATIENCE)
