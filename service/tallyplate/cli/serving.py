"""`tallyplate serve`."""

import argparse
import gc
import ipaddress
import json
import re
import subprocess
import sys
from contextlib import nullcontext
from datetime import UTC, datetime, timedelta
from importlib.util import find_spec
from pathlib import Path
from typing import Any, Final

from tallyplate.access.gate import Gate
from tallyplate.access.scopes import EVERY, Scope
from tallyplate.cli.keys import access_file
from tallyplate.cli.listening import Handed, bound, limits_of, serve
from tallyplate.cli.log_lines import log_as_json
from tallyplate.cli.quotes import key_set
from tallyplate.cli.workers import Workers
from tallyplate.http.app import create_app
from tallyplate.http.drain import Drain
from tallyplate.http.tracing import SHARE, Spans, spans
from tallyplate.installation import load
from tallyplate.rates.files import DataError
from tallyplate.reload import Current, Watched, Watcher

MOST_WORKERS = 64

PROOF_SECONDS = 120
"""Longest that proving a changed folder may take."""


PUBLIC: Final = (Scope.PRICE,)
"""What everybody may do at a public service."""

TOLD_LATER: Final = 0.05
"""Seconds for which what was seen of requests is held before log and metrics are told."""


def add(commands: Any) -> None:  # noqa: ANN401 - argparse keeps the type to itself
    """Add the command to the parser."""
    serve = commands.add_parser("serve", help="answer over HTTP; a changed --data folder is picked up while it runs")
    serve.add_argument("--host", default="127.0.0.1")
    serve.add_argument("--port", type=int, default=8080)
    callers = serve.add_mutually_exclusive_group()
    callers.add_argument(
        "--access",
        type=Path,
        metavar="FILE",
        help="who may call, and what they may see; `key new` makes it. Without one only this machine is listened to",
    )
    callers.add_argument("--public", action="store_true", help="let everybody see selling prices, and nobody more")
    serve.add_argument(
        "--quote-keys", type=Path, metavar="FILE", help="sign quotes with this key set, which `quote key` makes"
    )
    serve.add_argument("--limits", type=Path, metavar="FILE", help="limits that differ from the usual ones, in TOML")
    serve.add_argument(
        "--workers",
        type=_processes,
        metavar="N",
        help="processes behind the port; SIGHUP restarts them one after the other",
    )
    serve.add_argument("--traces", metavar="URL", help="send OpenTelemetry traces to this collector, by OTLP over HTTP")
    serve.add_argument(
        "--trace-share",
        type=_share,
        default=SHARE,
        metavar="SHARE",
        help=f"of requests that begin a trace, 0 to 1; usually {SHARE}. A caller's trace is sampled as the caller says",
    )
    serve.add_argument("--worker", nargs=2, type=int, help=argparse.SUPPRESS)
    serve.set_defaults(run=_serve)


def _processes(text: str) -> int:
    if not (text.isascii() and text.isdigit() and 1 <= int(text[:9]) <= MOST_WORKERS):
        message = f"{text[:20]!r}; accepted: 1 to {MOST_WORKERS}"
        raise argparse.ArgumentTypeError(message)
    return int(text)


def _serve(parsed: argparse.Namespace) -> int:
    log_as_json(alone=not parsed.workers and not parsed.worker)
    limits = limits_of(parsed.limits)
    if parsed.workers and not parsed.worker:
        return Workers(sys.argv[1:], bound(parsed.host, parsed.port), limits).run(parsed.workers)
    installation = load(parsed.data)
    quote_keys = key_set(parsed.quote_keys) if parsed.quote_keys else None
    watched = Watched(installation, parsed.data, proved) if parsed.data else None
    gate, drain = gated(parsed.host, parsed.access, public=parsed.public), Drain()
    collected = spans_to(parsed.traces, parsed.trace_share)
    app = create_app(watched or Current(installation), gate, quote_keys, limits, drain, collected, TOLD_LATER)
    # What is loaded stays: looking for garbage in it again and again would hold up whoever asks at that moment.
    gc.collect()
    gc.freeze()
    with Watcher(watched) if watched else nullcontext():
        at = Handed(*parsed.worker) if parsed.worker else bound(parsed.host, parsed.port)
        serve(app, limits, drain, at, loopback=loopback(parsed.host))
    return 0


def _share(text: str) -> float:
    if not re.fullmatch(r"0(\.[0-9]{1,6})?|1(\.0{1,6})?", text):
        message = f"{text[:20]!r}; accepted: 0 to 1"
        raise argparse.ArgumentTypeError(message)
    return float(text)


def spans_to(url: str | None, share: float) -> Spans | None:
    """Spans for a collector, if there is one; raises `DataError` without the libraries."""
    if not url:
        return None
    try:
        return spans(url, share)
    except ModuleNotFoundError as error:
        message = f"{error.name} is not installed; `pip install tallyplate[traces]` brings what traces need"
        raise DataError(message) from None


def gated(host: str, access: Path | None, *, public: bool = False) -> Gate:
    """The gate of a service on an address; raises `DataError` where others could reach it and nobody is named."""
    if access:
        file = access_file(access)
        if file.issuers and find_spec("joserfc") is None:
            message = "joserfc is not installed; `pip install tallyplate[quotes]` brings what tokens need"
            raise DataError(message)
        return Gate(access)
    if loopback(host):
        return Gate(local=True, everybody=PUBLIC if public else EVERY)
    if public:
        return Gate(everybody=PUBLIC)
    message = (
        f"--host {host}: others can reach this address, and without keys they would see all; accepted: a loopback "
        "address, --access FILE, which `tallyplate key new` makes, or --public for selling prices alone"
    )
    raise DataError(message)


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
