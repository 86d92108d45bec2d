"""The running service against its own OpenAPI document, with valid and invalid data made from it."""

import os
import re
import subprocess
import sys
from pathlib import Path

import httpx
import pytest

CONFIG = Path(__file__).with_name("schemathesis.toml")
HOOKS = Path(__file__).with_name("ndjson_hooks.py")


@pytest.mark.slow
def test_no_check_finds_the_service_and_its_document_at_odds(address: str, tmp_path: Path) -> None:
    command = [sys.executable, "-m", "schemathesis.cli", "--config-file", str(CONFIG), "run", "--checks", "all"]
    environment = {**os.environ, "SCHEMATHESIS_HOOKS": str(HOOKS)}
    document = f"{address}/openapi.json"
    done = subprocess.run(
        [*command, document], capture_output=True, text=True, cwd=tmp_path, env=environment, check=False, timeout=900
    )
    assert done.returncode == 0, done.stdout + done.stderr
    (generated, passed) = re.findall(r"(\d+) generated, (\d+) passed", done.stdout)[0]
    assert int(generated) == int(passed) > 500
    described = httpx.get(document).json()["paths"].values()
    assert f"Tested: {sum(map(len, described))}" in done.stdout
