"""Traces, where `tallyplate[traces]` is installed and somebody collects them: one server span a request.

Names of attributes are those of OpenTelemetry's semantic conventions for HTTP, 1.23 and later. Whether a request is
recorded is found out before it is answered, and its span is made afterwards, together with those of others: a span
takes longer than all else that is seen of a request.
"""

import re
from collections.abc import Iterable
from random import Random
from typing import TYPE_CHECKING, Final, Protocol

if TYPE_CHECKING:
    from opentelemetry.sdk.trace import SpanProcessor

FAILED: Final = 500

CONTEXT: Final = frozenset({b"traceparent", b"tracestate"})

TRACE: Final = re.compile(rb"[0-9a-f]{2}-(?P<trace>[0-9a-f]{32})-[0-9a-f]{16}-(?P<flags>[0-9a-f]{2})\Z")
"""A W3C `traceparent` (Trace Context, 3.2)."""

SAMPLED: Final = 0x01
"""The flag of a trace whose spans are recorded (Trace Context, 3.2.2.5)."""

SHARE: Final = 0.05
"""Share of new traces that are recorded."""

NANOSECONDS: Final = 1_000_000_000

Parent = dict[str, str]
"""What a caller said of its own trace; empty where a trace begins here."""


def trace_of(headers: Iterable[tuple[bytes, bytes]]) -> re.Match[bytes] | None:
    """What a caller says of its trace, if it says it well."""
    for name, value in headers:
        if name == b"traceparent":
            return TRACE.match(value)
    return None


class Spans(Protocol):
    """The spans of requests."""

    def parent(self, trace: re.Match[bytes] | None, headers: Iterable[tuple[bytes, bytes]]) -> Parent | None:
        """The trace that a request belongs to; None where it is not to be recorded."""

    def record(
        self, parent: Parent, request: str, name: str, at: float, seconds: float, said: dict[str, str | int]
    ) -> None:
        """Record a request that ended `at` some moment since 1970: `request` is the id of a trace that begins here."""


def spans(url: str, share: float = SHARE) -> Spans:
    """Spans that go to a collector, as OTLP over HTTP; raises `ModuleNotFoundError` without the libraries."""
    from opentelemetry.exporter.otlp.proto.http.trace_exporter import OTLPSpanExporter  # noqa: PLC0415 - optional
    from opentelemetry.sdk.trace.export import BatchSpanProcessor  # noqa: PLC0415 - optional

    return recorded(BatchSpanProcessor(OTLPSpanExporter(f"{url.rstrip('/')}/v1/traces")), share)


def recorded(processor: "SpanProcessor", share: float = SHARE) -> Spans:
    """Spans that go to a processor: of a share of the requests that begin a trace.

    A caller's trace (W3C `traceparent`) goes on, sampled as the caller decided.
    """
    from opentelemetry.sdk.resources import SERVICE_NAME, Resource  # noqa: PLC0415 - optional
    from opentelemetry.sdk.trace import TracerProvider  # noqa: PLC0415 - optional
    from opentelemetry.sdk.trace.id_generator import RandomIdGenerator  # noqa: PLC0415 - optional
    from opentelemetry.trace import SpanKind, StatusCode  # noqa: PLC0415 - optional
    from opentelemetry.trace.propagation.tracecontext import TraceContextTextMapPropagator  # noqa: PLC0415 - optional

    class Ids(RandomIdGenerator):
        """A trace that begins here has the id of its request."""

        request = 0

        def generate_trace_id(self) -> int:
            return self.request

    ids, chance = Ids(), Random()  # noqa: S311 - which requests are looked at; seeded afresh in each process
    provider = TracerProvider(resource=Resource.create({SERVICE_NAME: "tallyplate"}), id_generator=ids)
    provider.add_span_processor(processor)
    tracer, context = provider.get_tracer("tallyplate"), TraceContextTextMapPropagator()

    class Recorded:
        def parent(self, trace: re.Match[bytes] | None, headers: Iterable[tuple[bytes, bytes]]) -> Parent | None:
            if trace is None:
                return {} if chance.random() < share else None
            if not int(trace["flags"], 16) & SAMPLED:
                return None
            return {name.decode(): value.decode("latin-1") for name, value in headers if name in CONTEXT}

        def record(
            self, parent: Parent, request: str, name: str, at: float, seconds: float, said: dict[str, str | int]
        ) -> None:
            ids.request = int(request, 16)
            began, ended = round((at - seconds) * NANOSECONDS), round(at * NANOSECONDS)
            span = tracer.start_span(name, context.extract(parent), SpanKind.SERVER, said, start_time=began)
            if not FAILED > int(said["http.response.status_code"]) > 0:
                span.set_status(StatusCode.ERROR)
            span.end(ended)

    return Recorded()
