"""Known vulnerabilities of everything that is locked: `make audit`.

Ends with 0 where an advisory source knows of none, 1 where it knows of one, and 75 where it could not be asked about
everything. pip-audit itself ends with 0 when it has found no source at all, and with `--strict` at the first package
that it can't look up, whatever it has found in others: so its report is read, not its exit code.
"""

import json
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.supply.locks import ROOT

LOCK = ROOT / "requirements-dev.lock"
"""It holds all the others."""

FOUND = 1
NOT_AUDITED = 75
"""EX_TEMPFAIL of sysexits.h: it may go better another time."""

SECONDS = 300


def audit(lock: Path, options: Sequence[str]) -> tuple[int, str]:
    """The exit code, and what to say."""
    with TemporaryDirectory() as folder:
        report = Path(folder) / "report.json"
        command = [sys.executable, "-m", "pip_audit", "--require-hashes", "--disable-pip", f"--requirement={lock}"]
        command += ["--progress-spinner=off", f"--cache-dir={folder}/cache", "--format=json", f"--output={report}"]
        try:
            done = subprocess.run([*command, *options], capture_output=True, text=True, timeout=SECONDS, check=False)
        except subprocess.TimeoutExpired:
            return NOT_AUDITED, f"not audited: the advisory source did not answer within {SECONDS} s"
        if not report.exists():
            last = (done.stderr.strip().splitlines() or [f"pip-audit ended with {done.returncode}"])[-1]
            return NOT_AUDITED, f"not audited: {last}"
        return judged(json.loads(report.read_text(encoding="utf-8"))["dependencies"])


def judged(dependencies: Sequence[dict]) -> tuple[int, str]:
    """What a report comes to. A vulnerability that was found counts even where other packages were not looked up."""
    found = [
        f"{package['name']} {package['version']}: {vulnerability['id']}"
        f" (mended in: {', '.join(vulnerability['fix_versions']) or 'no version'})"
        for package in dependencies
        for vulnerability in package.get("vulns", ())
    ]
    skipped = [package["skip_reason"] for package in dependencies if "skip_reason" in package]
    if found:
        return FOUND, "\n".join(found)
    if skipped or not dependencies:
        why = skipped[0] if skipped else "the report is empty"
        return NOT_AUDITED, f"not audited: {len(skipped)} of {len(dependencies)} packages, such as: {why}"
    return 0, f"no known vulnerability in {len(dependencies)} packages"


if __name__ == "__main__":
    code, message = audit(LOCK, sys.argv[1:])
    print(message)
    sys.exit(code)
