"""A short run of the fuzzer on everything that reads a stranger's bytes; `python -m tests.hostile.fuzz` runs longer."""

import platform
import subprocess
import sys

import pytest

from tests.plates import ROOT

RUNS = {
    "request": 6_000, "length": 20_000, "token": 20_000, "access-file": 10_000,
}  # fmt: skip

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(
        (sys.platform, platform.machine()) != ("linux", "x86_64"),
        reason="the fuzzer is built for Linux on x86-64 alone",
    ),
]


@pytest.mark.parametrize("target", sorted(RUNS))
def test_no_bytes_are_answered_by_anything_but_a_value_or_a_refusal(target: str) -> None:
    # Ten seconds for one input is what is called hanging; a busy machine is never that slow.
    options = [f"-runs={RUNS[target]}", "-seed=20260302", "-timeout=10", "-rss_limit_mb=1024"]
    done = subprocess.run(
        [sys.executable, "-m", "tests.hostile.fuzz", target, *options],
        cwd=ROOT, capture_output=True, text=True, check=False, timeout=600,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-4000:]
    assert f"Done {RUNS[target]} runs" in done.stderr
