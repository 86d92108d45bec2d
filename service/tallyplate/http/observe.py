"""Logs and metrics: one structured line and one histogram observation a request, in a slim ASGI layer.

The framework's own layers for this were measured at two to four times the cost. No body, key or price is logged.
"""

import re
from collections.abc import Iterable
from secrets import token_hex
from time import perf_counter
from typing import Any, Final

import structlog
from litestar.enums import ScopeType
from litestar.types import ASGIApp, Message, Receive, Scope, Send
from prometheus_client import CollectorRegistry, Counter, Gauge, Histogram

from tallyplate.reload import Current

BUCKETS: Final = (0.0005, 0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 1.0)

_TRACE = re.compile(rb"[0-9a-f]{2}-([0-9a-f]{32})-[0-9a-f]{16}-[0-9a-f]{2}\Z")

log = structlog.get_logger("tallyplate.http")


class Metrics:
    """The service's own metrics, in a registry of their own so that several services fit one process."""

    def __init__(self, current: Current) -> None:
        self.registry = CollectorRegistry()
        self.seconds = Histogram(
            "tallyplate_request_seconds",
            "Time to answer, by route.",
            ["route"],
            registry=self.registry,
            buckets=BUCKETS,
        )
        self.answers = Counter(
            "tallyplate_answers_total", "Answers, by route and status.", ["route", "status"], registry=self.registry
        )
        refused = Gauge(
            "tallyplate_reloads_refused", "Newer rates or shop data refused so far.", registry=self.registry
        )
        refused.set_function(lambda: current.failures)
        versions = Gauge("tallyplate_rate_cards", "Rate cards loaded.", registry=self.registry)
        versions.set_function(lambda: len(current.installation.cards))
        self._bound: dict[tuple[str, int], tuple[Any, Any]] = {}

    def observe(self, route: str, status: int, seconds: float) -> None:
        """Count one answer; labels are bound once, which is what costs."""
        bound = self._bound.get((route, status))
        if bound is None:
            bound = self.seconds.labels(route), self.answers.labels(route, str(status))
            self._bound[route, status] = bound
        bound[0].observe(seconds)
        bound[1].inc()


def request_id(headers: Iterable[tuple[bytes, bytes]]) -> str:
    """The trace id of a W3C `traceparent`, or a new id of the same form."""
    for name, value in headers:
        if name == b"traceparent":
            match = _TRACE.match(value)
            if match:
                return match[1].decode()
    return token_hex(16)


class Observed:
    """An application with its answers logged, counted and named by request id."""

    def __init__(self, app: ASGIApp, metrics: Metrics, routes: frozenset[str]) -> None:
        self.app, self.metrics, self.routes = app, metrics, routes

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass everything through; watch the answer's start."""
        if scope["type"] != ScopeType.HTTP:
            await self.app(scope, receive, send)
            return
        started, status = perf_counter(), 500
        request = request_id(scope["headers"])

        async def watched(message: Message) -> None:
            nonlocal status
            if message["type"] == "http.response.start":
                status = message["status"]
                message["headers"] = [*message["headers"], (b"x-request-id", request.encode())]
            await send(message)

        try:
            await self.app(scope, receive, watched)
        finally:
            seconds = perf_counter() - started
            route = self._route(scope["path"])
            self.metrics.observe(route, status, seconds)
            log.info(
                "answered",
                request=request,
                method=scope["method"],
                route=route,
                status=status,
                milliseconds=round(seconds * 1000, 3),
            )

    def _route(self, path: str) -> str:
        """A path as a label: never a stranger's text."""
        if path in self.routes:
            return path
        head, _, _ = path.rpartition("/")
        return f"{head}/*" if head in {"/problems", "/docs"} else "other"
