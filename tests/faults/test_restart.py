"""The end of a process and the restart of all: no request that was sent is left without an answer."""

import os
import signal
import subprocess
from pathlib import Path

import httpx
import pytest

from tests.faults.load import Load, message, under_load
from tests.faults.service import Service, service
from tests.plates import ROOT
from tests.serving import COMMAND, free_port

PLATE = ROOT / "openapi" / "examples" / "plate.json"
JSON = {"content-type": "application/json"}

pytestmark = pytest.mark.slow

SENT = message("/v1/prices", PLATE.read_bytes())
CALLERS = 32
DRAIN = "drain_seconds = 1.0\nwaiting = 1000\nwait_seconds = 30.0\n"


def _more(served: Service, load: Load, count: int) -> None:
    until = load.answers[200] + count
    served.until(lambda: load.answers[200] >= until)


def _workers(served: Service) -> list[int]:
    served.until(lambda: bool(served.lines("workers ready")))
    workers: list[int] = served.lines("workers ready")[0]["workers"]
    return workers


def test_sigterm_under_load_loses_no_request_and_ends_with_0(tmp_path: Path) -> None:
    with service(tmp_path, limits=DRAIN) as served, under_load(served.port, SENT, CALLERS) as load:
        _more(served, load, 300)
        served.process.send_signal(signal.SIGTERM)
        served.until(lambda: not served.ready())
        # It is not ready and goes on answering.
        assert served.process.poll() is None
        _more(served, load, CALLERS)
        assert served.process.wait(30) == 0
        served.until(lambda: load.refused >= CALLERS)
    assert load.lost == 0
    assert set(load.answers) == {200}


def test_workers_are_restarted_one_after_the_other_and_replaced_when_killed(tmp_path: Path) -> None:
    with (
        service(tmp_path, "--workers", "2", limits=DRAIN) as served,
        under_load(served.port, SENT, CALLERS, 0.1) as load,
    ):
        first = _workers(served)
        _more(served, load, 100)
        served.process.send_signal(signal.SIGHUP)
        served.until(lambda: bool(served.lines("workers replaced")))
        second = served.lines("workers replaced")[0]["workers"]
        assert not {*first} & {*second}
        _more(served, load, 100)
        assert (load.lost, load.refused) == (0, 0)

        os.kill(second[0], signal.SIGKILL)
        served.until(lambda: bool(served.lines("worker died")))
        (died,) = served.lines("worker died")
        assert (died["worker"], died["code"]) == (second[0], -signal.SIGKILL)
        _more(served, load, 100)
        # What it was answering when it was killed is lost, on its own connections only.
        assert load.lost <= CALLERS
        lost = load.lost

        served.process.send_signal(signal.SIGTERM)
        assert served.process.wait(30) == 0
        served.until(lambda: load.refused >= CALLERS)
    assert load.lost == lost
    assert set(load.answers) == {200}


def test_workers_are_counted_together_and_end_when_their_parent_is_killed(tmp_path: Path) -> None:
    with service(tmp_path, "--workers", "2", limits="drain_seconds = 0\n") as served:
        workers = _workers(served)
        for _ in range(20):
            assert httpx.post(f"{served.url}/v1/prices", content=PLATE.read_bytes(), headers=JSON).status_code == 200
        told = httpx.get(f"{served.url}/metrics").text
        assert 'tallyplate_answers_total{route="/v1/prices",status="200"} 20.0' in told
        assert 'tallyplate_in_force{digest="' in told
        served.process.kill()
        served.until(lambda: not any(Path(f"/proc/{worker}").exists() for worker in workers))


def test_a_service_whose_workers_cannot_start_says_why_and_ends(tmp_path: Path) -> None:
    command = [COMMAND, "--data", str(tmp_path), "serve", "--port", str(free_port()), "--workers", "1"]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=60)
    assert done.returncode == 1
    assert "rate_cards" in done.stderr
