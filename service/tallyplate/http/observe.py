"""What is seen of each request: one structured line, its metrics and its span, in a slim ASGI layer.

The framework's own layers for this were measured at two to four times the cost. No body, no price and no secret is
logged; of a key only its id.
"""

import re
from collections.abc import Iterable
from random import Random
from time import perf_counter
from typing import Final

import structlog
from litestar.enums import ScopeType
from litestar.types import ASGIApp, Message, Receive, Scope, Send

from tallyplate.contract import Refusal
from tallyplate.http.admission import Lanes
from tallyplate.http.metrics import Metrics
from tallyplate.http.refusing import Answer, answer
from tallyplate.http.tracing import Spans
from tallyplate.reload import Current

BAD: Final = 400
FAILED: Final = 500
TYPE: Final = b'{"type":"/problems/'

_TRACE = re.compile(rb"[0-9a-f]{2}-([0-9a-f]{32})-[0-9a-f]{16}-[0-9a-f]{2}\Z")

_IDS = Random()  # noqa: S311 - a name for a request, seeded afresh in each process; nobody is kept out by it.

log = structlog.get_logger("tallyplate.http")


def request_id(headers: Iterable[tuple[bytes, bytes]]) -> str:
    """The trace id of a W3C `traceparent`, or a new id of the same form."""
    for name, value in headers:
        if name == b"traceparent":
            match = _TRACE.match(value)
            if match:
                return match[1].decode()
    return f"{_IDS.getrandbits(128):032x}"


class Observed:
    """An application with its answers logged, counted and named by request id."""

    def __init__(
        self,
        app: ASGIApp,
        metrics: Metrics,
        routes: frozenset[str],
        spans: Spans | None = None,
        lanes: Lanes | None = None,
    ) -> None:
        self.app, self.metrics, self.routes, self.spans, self.lanes = app, metrics, routes, spans, lanes
        self.in_force = InForce(metrics.loaded.current)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass everything through; watch the answer's start, and what kind of problem it is."""
        if scope["type"] != ScopeType.HTTP:
            await self.app(scope, receive, send)
            return
        started, status, kind = perf_counter(), 0, ""
        span = self.spans(scope) if self.spans else None
        request = span.request if span else request_id(scope["headers"])

        async def watched(message: Message) -> None:
            nonlocal status, kind
            if message["type"] == "http.response.start":
                status = message["status"]
                message["headers"] = [*message["headers"], (b"x-request-id", request.encode())]
            elif status >= BAD and not kind and message["type"] == "http.response.body":
                kind = problem_kind(message["body"])
            await send(message)

        try:
            await self.app(scope, receive, watched)
        except BaseException:
            status = status or FAILED
            raise
        finally:
            route, key = self._route(scope["path"]), str(getattr(scope.get("caller"), "name", ""))
            if span:
                span.end(route, status, key)
            self._seen(request, scope["method"], route, status, kind, key, started)

    def turned_away(self, method: str, path: str, headers: Iterable[tuple[bytes, bytes]]) -> Answer | None:
        """The answer to a request for which there is no room, from its head alone; none where there may be.

        Under overload most requests are refused, and each that costs less leaves more time for those that are not: this
        costs a third of the way through all layers. It has no span.
        """
        told = self.lanes.at_the_door(path) if self.lanes else None
        if told is None:
            return None
        started, request = perf_counter(), request_id(headers)
        what, seconds = told
        refusal = answer(what, (b"x-request-id", request.encode()), retry_after=seconds)
        self._seen(request, method, self._route(path), what.status, problem_kind(refusal[2]), "", started)
        return refusal

    def _seen(self, request: str, method: str, route: str, status: int, kind: str, key: str, started: float) -> None:
        seconds = perf_counter() - started
        self.metrics.observe(route, status, seconds)
        if kind:
            self.metrics.problems.labels(kind).inc()
        log.info(
            "answered" if status else "hung up",
            request=request,
            method=method,
            route=route,
            status=status or None,
            milliseconds=round(seconds * 1000, 3),
            key=key,
            card=self.in_force.digest(started),
        )

    def _route(self, path: str) -> str:
        """A path as a label: never a stranger's text."""
        if path in self.routes:
            return path
        head, _, _ = path.rpartition("/")
        return f"{head}/*" if head in {"/problems", "/docs"} else "other"


class InForce:
    """The digest of today's rate card, looked up once a second."""

    def __init__(self, current: Current) -> None:
        self.current, self._digest, self._until = current, "", 0.0

    def digest(self, now: float) -> str:
        """The digest at a moment of the monotonic clock; none where no card is in force."""
        if now >= self._until:
            self._until, installation = now + 1.0, self.current.installation
            try:
                self._digest = installation.in_force(installation.today())[0].digest
            except Refusal:
                self._digest = ""
        return self._digest


def problem_kind(body: bytes) -> str:
    """The kind of problem details as this service writes them: their type comes first."""
    if not body.startswith(TYPE):
        return ""
    return body[len(TYPE) : body.index(b'"', len(TYPE))].decode()
