"""The running service against its own OpenAPI document, with valid and invalid data made from it."""

import os
import re
import subprocess
import sys
from pathlib import Path

import httpx
import pytest

from tallyplate.access.scopes import Scope
from tallyplate.cli.main import main
from tests.serving import serving

CONFIG = Path(__file__).with_name("schemathesis.toml")
HOOKS = Path(__file__).with_name("ndjson_hooks.py")


def test_no_check_finds_the_service_and_its_document_at_odds(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    quote_keys, access, limits = tmp_path / "quotes.json", tmp_path / "access.json", tmp_path / "limits.toml"
    main(["quote", "key", "--out", str(quote_keys)])
    capsys.readouterr()
    main(["key", "new", "tests", "--scopes", *Scope, "--access", str(access)])
    key = capsys.readouterr().out.strip()
    limits.write_text("key_rate = 0.0\naddress_rate = 0.0\n")
    options = ["--quote-keys", str(quote_keys), "--access", str(access), "--limits", str(limits)]
    with serving(options=options) as address:
        _try_everything(address, key, tmp_path)


def _try_everything(address: str, key: str, tmp_path: Path) -> None:
    command = [sys.executable, "-m", "schemathesis.cli", "--config-file", str(CONFIG), "run", "--checks", "all"]
    environment = {**os.environ, "SCHEMATHESIS_HOOKS": str(HOOKS)}
    document = f"{address}/openapi.json"
    credentials = ["--header", f"Authorization: Bearer {key}"]
    done = subprocess.run(
        [*command, *credentials, document],
        capture_output=True,
        text=True,
        cwd=tmp_path,
        env=environment,
        check=False,
        timeout=900,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    (generated, passed) = re.findall(r"(\d+) generated, (\d+) passed", done.stdout)[0]
    assert int(generated) == int(passed) > 500
    described = httpx.get(document).json()["paths"].values()
    assert f"Tested: {sum(map(len, described))}" in done.stdout
