"""The demonstration: starts the service, prices a plate over HTTP, says where to look, and cleans up."""

import errno
import json
import os
import shutil
import signal
import socket
import subprocess
import sys
from itertools import takewhile
from pathlib import Path

import httpx
import pytest

from tallyplate.demo import door, folded, service
from tests.plates import EXAMPLES, ROOT, installation, request
from tests.serving import free_port, serving

PLATE = EXAMPLES / "plate.json"


def _command(port: int, file: Path = PLATE) -> list[str]:
    return [sys.executable, "-m", "tallyplate.demo", str(file), "--port", str(port)]


def _demo(file: Path, port: int) -> subprocess.CompletedProcess[str]:
    command = [*_command(port, file), "--once"]
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


def test_it_serves_on_any_free_port_until_it_is_interrupted() -> None:
    process = subprocess.Popen(_command(0), stdout=subprocess.PIPE, text=True, cwd=ROOT)
    try:
        assert process.stdout
        told = list(takewhile(lambda line: line != "Ctrl-C stops it.\n", process.stdout))
        address = next(line.split()[1] for line in told if line.startswith("service "))
        assert httpx.get(f"{address}/health/live").status_code == 200
        process.send_signal(signal.SIGINT)
        rest, _ = process.communicate(timeout=60)
    finally:
        process.kill()
    assert (process.returncode, rest) == (0, "stopped\n")


def test_a_port_on_which_another_service_answers_is_told_before_anything_is_priced() -> None:
    with serving() as address:
        port = int(address.rpartition(":")[2])
        done = _demo(PLATE, port)
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr.startswith(f"port {port}: taken; end what listens there.")
    assert "--port 0 FILE" in done.stderr


@pytest.mark.parametrize("port", [-1, 65536])
def test_a_port_that_there_is_not_is_told_with_what_there_is(port: int) -> None:
    with pytest.raises(SystemExit, match=f"port {port}: out of range; accepted: 0 to 65535"):
        door(port)


def test_a_port_that_only_others_may_have_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    def forbidden(_: object) -> socket.socket:
        raise PermissionError(errno.EACCES, "for some long reason")

    monkeypatch.setattr(socket, "create_server", forbidden)
    with pytest.raises(SystemExit, match=f"port 80: {os.strerror(errno.EACCES)}. Another will do"):
        door(80)


def test_a_service_that_ends_at_once_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "executable", shutil.which("false"))
    with door(0) as listening, pytest.raises(SystemExit, match="did not become ready"), service(listening):
        pass


def test_long_lines_of_json_are_broken_after_commas_and_mean_the_same() -> None:
    text = PLATE.read_text()
    lines = folded(text, 80).splitlines()
    assert json.loads("\n".join(lines)) == json.loads(text)
    assert max(map(len, lines)) <= 80 < max(map(len, text.splitlines()))
    broken = sorted({*lines} - {*text.splitlines()})
    assert [line.strip()[-1] for line in broken] == [",", ",", ",", ","]
    assert folded(text, 200) == text.rstrip("\n")
