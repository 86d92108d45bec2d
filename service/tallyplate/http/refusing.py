"""Problem details from ASGI layers, which stand outside the framework."""

from math import ceil
from typing import Final

from litestar.enums import ScopeType
from litestar.types import Scope, Send

from tallyplate.http.problems import MEDIA_TYPE, Problem, encoded

Answer = tuple[int, list[tuple[bytes, bytes]], bytes]
"""Status, headers and body of an answer that is whole already."""

EXEMPT: Final = frozenset({"/health/live", "/health/ready", "/metrics"})
"""Asked by whoever runs the service, and answered whatever else is refused."""


def exempt(scope: Scope) -> bool:
    """Whether a request is one that no limit on load may refuse."""
    return scope["type"] != ScopeType.HTTP or scope["path"] in EXEMPT


def answer(what: Problem, *more: tuple[bytes, bytes], retry_after: float | None = None, close: bool = False) -> Answer:
    """A problem as an answer, with more headers; `retry_after` is in seconds, and said rounded up."""
    content = encoded(what)
    headers = [(b"content-type", MEDIA_TYPE.encode()), (b"content-length", b"%d" % len(content)), *more]
    if retry_after is not None:
        headers.append((b"retry-after", b"%d" % max(1, ceil(retry_after))))
    if close:
        headers.append((b"connection", b"close"))
    return what.status, headers, content


async def send_problem(
    send: Send, what: Problem, *more: tuple[bytes, bytes], retry_after: float | None = None, close: bool = False
) -> None:
    """Answer a request that goes no further."""
    status, headers, content = answer(what, *more, retry_after=retry_after, close=close)
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": content, "more_body": False})
