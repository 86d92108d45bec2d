"""Traces, where `tallyplate[traces]` is installed and somebody collects them: one server span a request.

Names of attributes are those of OpenTelemetry's semantic conventions for HTTP, 1.23 and later.
"""

from collections.abc import Callable
from typing import TYPE_CHECKING, Final, Protocol

from litestar.types import HTTPScope

if TYPE_CHECKING:
    from opentelemetry.sdk.trace import SpanProcessor

FAILED: Final = 500

SHARE: Final = 0.1
"""Share of new traces that are recorded: a recorded span takes longer than all else that is seen of a request."""


class SpanOfRequest(Protocol):
    """The span of a request: `request` is its trace id, which also stands in logs and on the answer."""

    request: str

    def end(self, route: str, status: int, key: str) -> None:
        """Say how the request ended."""


Spans = Callable[[HTTPScope], SpanOfRequest]
"""Begins the span of a request."""


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
    from opentelemetry.sdk.trace.sampling import ParentBasedTraceIdRatio  # noqa: PLC0415 - optional
    from opentelemetry.trace import SpanKind, StatusCode, format_trace_id  # noqa: PLC0415 - optional
    from opentelemetry.trace.propagation.tracecontext import TraceContextTextMapPropagator  # noqa: PLC0415 - optional

    provider = TracerProvider(ParentBasedTraceIdRatio(share), Resource.create({SERVICE_NAME: "tallyplate"}))
    provider.add_span_processor(processor)
    tracer, context = provider.get_tracer("tallyplate"), TraceContextTextMapPropagator()

    class Recorded:
        def __init__(self, scope: HTTPScope) -> None:
            told = {b"traceparent", b"tracestate"}
            parent = {name.decode(): value.decode("latin-1") for name, value in scope["headers"] if name in told}
            self.method = scope["method"]
            self.span = tracer.start_span(self.method, context.extract(parent), SpanKind.SERVER)
            self.request = format_trace_id(self.span.get_span_context().trace_id)

        def end(self, route: str, status: int, key: str) -> None:
            if not self.span.is_recording():
                return
            self.span.update_name(f"{self.method} {route}")
            self.span.set_attributes(
                {
                    "http.request.method": self.method,
                    "http.route": route,
                    "http.response.status_code": status,
                    "tallyplate.key": key,
                }
            )
            if status == 0 or status >= FAILED:
                self.span.set_status(StatusCode.ERROR)
            self.span.end()

    return Recorded
