"""The running service against its own OpenAPI document, with valid and invalid data made from it."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

CONFIG = Path(__file__).with_name("schemathesis.toml")


@pytest.mark.slow
def test_no_check_finds_the_service_and_its_document_at_odds(address: str, tmp_path: Path) -> None:
    command = [sys.executable, "-m", "schemathesis.cli", "--config-file", str(CONFIG), "run", "--checks", "all"]
    done = subprocess.run(
        [*command, f"{address}/openapi.json"], capture_output=True, text=True, cwd=tmp_path, check=False, timeout=300
    )
    assert done.returncode == 0, done.stdout + done.stderr
    (generated, passed) = re.findall(r"(\d+) generated, (\d+) passed", done.stdout)[0]
    assert int(generated) == int(passed) > 500
    assert "Tested: 8" in done.stdout
