"""`tallyplate serve`."""

import argparse
import ipaddress
import json
import subprocess
import sys
from contextlib import nullcontext
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import msgspec
import structlog
import uvicorn

from tallyplate.cli.quotes import key_set
from tallyplate.http.app import create_app
from tallyplate.installation import Form, load
from tallyplate.reload import Current, Watched, Watcher

PROOF_SECONDS = 120
"""Longest that proving a changed folder may take."""


def add(commands: Any) -> None:  # noqa: ANN401 - argparse keeps the type to itself
    """Add the command to the parser."""
    serve = commands.add_parser("serve", help="answer over HTTP; a changed --data folder is picked up while it runs")
    serve.add_argument("--host", default="127.0.0.1")
    serve.add_argument("--port", type=int, default=8080)
    serve.add_argument(
        "--form",
        choices=[form.value for form in Form],
        help="inside, with cost lines, or outside, with selling amounts only (usual on any address but loopback)",
    )
    serve.add_argument(
        "--quote-keys", type=Path, metavar="FILE", help="sign quotes with this key set, which `key new` makes"
    )
    serve.set_defaults(run=_serve)


def _serve(parsed: argparse.Namespace) -> int:
    log_as_json()
    installation = load(parsed.data)
    quote_keys = key_set(parsed.quote_keys) if parsed.quote_keys else None
    watched = Watched(installation, parsed.data, proved) if parsed.data else None
    form = Form(parsed.form) if parsed.form else Form.INSIDE if loopback(parsed.host) else Form.OUTSIDE
    with Watcher(watched) if watched else nullcontext():
        uvicorn.run(
            create_app(watched or Current(installation), form, quote_keys),
            host=parsed.host,
            port=parsed.port,
            access_log=False,
            server_header=False,
            log_level="warning",
        )
    return 0


def loopback(host: str) -> bool:
    """Whether only this machine can reach an address."""
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def proved(folder: Path) -> tuple[str, ...]:
    """What `cards check` says of a folder, from a process of its own, so that requests do not wait for it."""
    # Cards that are no longer in force were proved when they came; a year of them need not be proved at every change.
    since = (datetime.now(UTC).date() - timedelta(days=1)).isoformat()
    check = ["cards", "check", str(folder), "--json", "--since", since]
    command = [sys.executable, "-m", "tallyplate.cli", *check]
    try:
        ran = subprocess.run(command, capture_output=True, timeout=PROOF_SECONDS, check=False)  # noqa: S603 - ours
    except subprocess.TimeoutExpired:
        return (f"proving the folder took longer than {PROOF_SECONDS} s",)
    if ran.returncode == 0:
        return ()
    try:
        return tuple(json.loads(ran.stdout)["problems"])
    except (ValueError, KeyError, TypeError):
        return (f"proving the folder ended with {ran.returncode}: {ran.stderr.decode(errors='replace')[-500:]}",)


def log_as_json() -> None:
    """One JSON object a line on standard output."""
    structlog.configure(
        processors=[
            structlog.processors.add_log_level,
            structlog.processors.TimeStamper(fmt="iso", utc=True),
            structlog.processors.format_exc_info,
            structlog.processors.JSONRenderer(serializer=lambda event, **_: msgspec.json.encode(event)),
        ],
        logger_factory=structlog.BytesLoggerFactory(),
        cache_logger_on_first_use=True,
    )
