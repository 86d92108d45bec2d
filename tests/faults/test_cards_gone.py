"""The folder of rates vanishes while the service runs: it goes on with what it has, and says so."""

import shutil
import signal
from pathlib import Path

import httpx
import pytest

from tests.faults.service import service
from tests.plates import request
from tests.rates.folder import write_data


@pytest.mark.slow
def test_a_folder_that_vanishes_leaves_the_last_good_one_in_force_and_may_come_back(tmp_path: Path) -> None:
    data = tmp_path / "data"
    write_data(data)
    with service(tmp_path, before=("--data", str(data)), limits="drain_seconds = 0\n") as served:

        def price() -> httpx.Response:
            return httpx.post(f"{served.url}/v1/prices", json=request())

        def refused() -> bool:
            ready = httpx.get(f"{served.url}/health/ready")
            assert ready.status_code == 200
            return bool(ready.json()["refused"])

        before = price()
        assert before.status_code == 200
        shutil.move(data, tmp_path / "elsewhere")
        served.until(refused)
        assert price().content == before.content
        assert "tallyplate_reloads_refused 1.0" in httpx.get(f"{served.url}/metrics").text
        shutil.move(tmp_path / "elsewhere", data)
        served.until(lambda: not refused())
        assert price().content == before.content
        served.process.send_signal(signal.SIGTERM)
        assert served.process.wait(30) == 0
