"""From nothing to the first price, against a bare server of a typed framework (FastAPI) to its first echo."""

import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import suppress
from importlib.util import find_spec
from pathlib import Path

import httpx

import tallyplate
from tests.bench.library import PLATE
from tests.bench.ratios import Said, row
from tests.serving import free_port

ROUNDS = 5
PATIENCE = 30.0


def report() -> Iterator[Said]:
    """Seconds to the first answer, the shortest of some starts, in turn."""
    if not find_spec("fastapi"):
        yield "start-up / of a bare server: absent (fastapi is not installed)"
        return
    body = PLATE.read_bytes()
    with tempfile.TemporaryDirectory() as folder:
        answer = Path(folder) / "answer.json"
        answer.write_bytes(tallyplate.load().price_json(body))
        commands = {
            "bare": ("tests.bench.typed_echo", "PORT", str(answer)),
            "ours": ("tallyplate.cli", "serve", "--port", "PORT"),
        }
        best = dict.fromkeys(commands, float("inf"))
        for _ in range(ROUNDS):
            for name, command in commands.items():
                best[name] = min(best[name], _first_answer(command, body))
    yield f"first answer of a bare server after {best['bare']:.2f} s, first price after {best['ours']:.2f} s"
    yield row("start-up to the first answer / of a bare server", best["ours"] / best["bare"], "under 3.5")


def _first_answer(command: tuple[str, ...], body: bytes) -> float:
    port = free_port()
    began = time.perf_counter()
    process = subprocess.Popen(
        [sys.executable, "-m", *(part.replace("PORT", str(port)) for part in command)], stdout=subprocess.DEVNULL
    )
    try:
        while time.perf_counter() - began < PATIENCE:
            with suppress(httpx.TransportError):
                sent = {"content-type": "application/json"}
                answer = httpx.post(f"http://127.0.0.1:{port}/v1/prices", content=body, headers=sent)
                assert answer.is_success, answer.text
                return time.perf_counter() - began
            time.sleep(0.005)
        message = f"{command[0]} gave no answer within {PATIENCE:g} s"
        raise TimeoutError(message)
    finally:
        process.terminate()
        process.wait(PATIENCE)


if __name__ == "__main__":
    for line in report():
        print(line)
