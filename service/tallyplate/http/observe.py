"""What is seen of each request: one structured line, its metrics and its span, in a slim ASGI layer.

The framework's own layers for this were measured at two to four times the cost. What was seen is noted at once, and
told to log, metrics and traces together with what else was seen within a moment: one by one it takes longer, since all
that it needs has left the processor's caches each time. No body, no price and no secret is logged; of a key its id.
"""

import re
from asyncio import get_running_loop
from collections.abc import Iterable
from random import Random
from time import perf_counter, time
from typing import Final, NamedTuple

import structlog
from litestar.enums import ScopeType
from litestar.types import ASGIApp, Message, Receive, Scope, Send

from tallyplate.contract import Refusal
from tallyplate.http.admission import Lanes
from tallyplate.http.metrics import Metrics
from tallyplate.http.refusing import Answer, answer
from tallyplate.http.tracing import Parent, Spans, trace_of
from tallyplate.reload import Current

BAD: Final = 400
FAILED: Final = 500
TYPE: Final = b'{"type":"/problems/'

_IDS = Random()  # noqa: S311 - a name for a request, seeded afresh in each process; nobody is kept out by it.

log = structlog.get_logger("tallyplate.http")


def request_id(trace: re.Match[bytes] | None) -> str:
    """The id of a caller's trace, or a new id of the same form."""
    return trace["trace"].decode() if trace else f"{_IDS.getrandbits(128):032x}"


class Seen(NamedTuple):
    """What is noted of a request when its answer ends; `at` is a moment since 1970, in s."""

    at: float
    request: str
    method: str
    path: str
    status: int
    kind: str
    key: str
    seconds: float
    parent: Parent | None
    """The trace to which its span belongs, where it is to have one."""


class Observed:
    """An application with its answers logged, counted and named by request id.

    What is seen is told within `later` seconds; at once where that is 0.
    """

    def __init__(
        self,
        app: ASGIApp,
        metrics: Metrics,
        routes: frozenset[str],
        spans: Spans | None = None,
        lanes: Lanes | None = None,
        later: float = 0.0,
    ) -> None:
        self.app, self.metrics, self.routes, self.spans, self.lanes = app, metrics, routes, spans, lanes
        self.in_force, self.later = InForce(metrics.loaded.current), later
        self._held: list[Seen] = []
        metrics.settle = self.tell

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass everything through; watch the answer's start, and what kind of problem it is."""
        if scope["type"] != ScopeType.HTTP:
            await self.app(scope, receive, send)
            self.tell()
            return
        started, status, kind = perf_counter(), 0, ""
        trace = trace_of(scope["headers"])
        request, parent = request_id(trace), self.spans.parent(trace, scope["headers"]) if self.spans else None

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
            key = str(getattr(scope.get("caller"), "name", ""))
            took = perf_counter() - started
            self._note(Seen(time(), request, scope["method"], scope["path"], status, kind, key, took, parent))

    def turned_away(self, method: str, path: str, headers: Iterable[tuple[bytes, bytes]]) -> Answer | None:
        """The answer to a request for which there is no room, from its head alone; none where there may be.

        Under overload most requests are refused, and each that costs less leaves more time for those that are not: this
        costs a third of the way through all layers. It has no span.
        """
        told = self.lanes.at_the_door(path) if self.lanes else None
        if told is None:
            return None
        started, request = perf_counter(), request_id(trace_of(headers))
        what, seconds = told
        refusal = answer(what, (b"x-request-id", request.encode()), retry_after=seconds)
        took = perf_counter() - started
        self._note(Seen(time(), request, method, path, what.status, problem_kind(refusal[2]), "", took, None))
        return refusal

    def _note(self, seen: Seen) -> None:
        self._held.append(seen)
        if not self.later:
            self.tell()
        elif len(self._held) == 1:
            get_running_loop().call_later(self.later, self.tell)

    def tell(self) -> None:
        """Tell log and metrics what was seen."""
        held, self._held = self._held, []
        for one in held:
            route = self._route(one.path)
            self.metrics.observe(route, one.status, one.seconds)
            if one.kind:
                self.metrics.problems.labels(one.kind).inc()
            if self.spans and one.parent is not None:
                said: dict[str, str | int] = {"http.request.method": one.method, "http.route": route}
                said |= {"http.response.status_code": one.status, "tallyplate.key": one.key}
                self.spans.record(one.parent, one.request, f"{one.method} {route}", one.at, one.seconds, said)
            log.info(
                "answered" if one.status else "hung up",
                request=one.request,
                method=one.method,
                route=route,
                status=one.status or None,
                milliseconds=round(one.seconds * 1000, 3),
                key=one.key,
                card=self.in_force.digest(),
                at=one.at,
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

    def digest(self) -> str:
        """The digest now; none where no card is in force."""
        now = perf_counter()
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
