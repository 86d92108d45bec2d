"""`tallyplate serve`."""

import argparse
from typing import Any

import msgspec
import structlog
import uvicorn

from tallyplate.http.app import create_app
from tallyplate.installation import load


def add(commands: Any) -> None:  # noqa: ANN401 - argparse keeps the type to itself
    """Add the command to the parser."""
    serve = commands.add_parser("serve", help="answer over HTTP")
    serve.add_argument("--host", default="127.0.0.1")
    serve.add_argument("--port", type=int, default=8080)
    serve.set_defaults(run=_serve)


def _serve(parsed: argparse.Namespace) -> int:
    log_as_json()
    app = create_app(load(parsed.data))
    uvicorn.run(app, host=parsed.host, port=parsed.port, access_log=False, server_header=False, log_level="warning")
    return 0


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
