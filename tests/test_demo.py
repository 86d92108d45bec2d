"""The demonstration: starts the service, prices a plate over HTTP, says where to look, and cleans up."""

import json
import subprocess
import sys
from pathlib import Path

import httpx
import pytest

from tests.plates import EXAMPLES, ROOT, installation, request
from tests.serving import free_port

PLATE = EXAMPLES / "plate.json"


def _demo(file: Path, port: int) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "tallyplate.demo", str(file), "--once", "--port", str(port)]
    return subprocess.run(command, capture_output=True, text=True, check=False, timeout=120, cwd=ROOT)


def test_it_prices_the_example_and_says_where_to_look() -> None:
    port = free_port()
    done = _demo(PLATE, port)
    assert done.returncode == 0, done.stderr
    answer = installation().price(json.loads(PLATE.read_text()))
    assert f"{answer.total} {answer.currency} for {answer.quantity}, {answer.unit_price} each" in done.stdout
    for page in ("", "/docs", "/openapi.json"):
        assert f"http://127.0.0.1:{port}{page}" in done.stdout
    with pytest.raises(httpx.ConnectError):
        httpx.get(f"http://127.0.0.1:{port}/health/live")


def test_a_refused_request_ends_it_with_the_problem(tmp_path: Path) -> None:
    file = tmp_path / "request.json"
    file.write_text(json.dumps(request({"/plate/material": "unobtainium"})))
    done = _demo(file, free_port())
    assert done.returncode != 0
    assert "'unobtainium' is not on offer" in done.stderr


def test_a_file_that_is_not_there_is_named_before_anything_is_started(tmp_path: Path) -> None:
    done = _demo(tmp_path / "absent.json", free_port())
    assert done.returncode != 0
    assert "absent.json" in done.stderr
    assert "Traceback" not in done.stderr
