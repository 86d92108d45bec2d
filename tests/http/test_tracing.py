"""Traces: one span a request, under the caller's own, and nothing of the plate in it."""

import asyncio
import sys
from typing import Any

import pytest
from opentelemetry.sdk.trace import ReadableSpan
from opentelemetry.sdk.trace.export import SimpleSpanProcessor
from opentelemetry.sdk.trace.export.in_memory_span_exporter import InMemorySpanExporter
from opentelemetry.trace import SpanKind, StatusCode

from tallyplate.cli import serving
from tallyplate.cli.main import main
from tallyplate.http.app import create_app
from tallyplate.http.tracing import recorded
from tests.http.asgi import Call
from tests.plates import installation, request
from tests.serving import Logs, asking

TRACE, PARENT = "0af7651916cd43dd8448eb211c80319c", "b7ad6b7169203331"


def _spans(headers: dict[str, str], method: str = "POST", path: str = "/v1/prices") -> tuple[ReadableSpan, Any]:
    kept = InMemorySpanExporter()
    app = create_app(installation(), spans=recorded(SimpleSpanProcessor(kept), 1.0))
    answer = asking(app)(method, path, json=request() if method == "POST" else None, headers=headers)
    (span,) = kept.get_finished_spans()
    return span, answer


def test_a_callers_trace_goes_on(logs: Logs) -> None:
    span, answer = _spans({"traceparent": f"00-{TRACE}-{PARENT}-01"})
    assert span.context
    assert span.parent
    assert f"{span.context.trace_id:032x}" == TRACE == answer.headers["x-request-id"] == logs[0]["request"]
    assert f"{span.parent.span_id:016x}" == PARENT
    assert (span.name, span.kind) == ("POST /v1/prices", SpanKind.SERVER)
    assert span.attributes == {
        "http.request.method": "POST",
        "http.route": "/v1/prices",
        "http.response.status_code": 200,
        "tallyplate.key": "",
    }


def test_without_one_a_trace_begins_and_gives_the_request_its_id() -> None:
    span, answer = _spans({})
    assert span.context
    assert span.parent is None
    assert answer.headers["x-request-id"] == f"{span.context.trace_id:032x}"


def test_a_strangers_address_makes_no_name_of_a_span() -> None:
    span, answer = _spans({}, "GET", "/no/such/place")
    assert (answer.status_code, span.name) == (404, "GET other")
    assert span.status.status_code is StatusCode.UNSET


def test_a_caller_that_hung_up_before_its_answer_is_an_error() -> None:
    kept = InMemorySpanExporter()
    app = create_app(installation(), spans=recorded(SimpleSpanProcessor(kept), 1.0))
    call = Call("/v1/prices")
    call.gone.set()
    asyncio.run(call.to(app))
    (span,) = kept.get_finished_spans()
    assert span.status.status_code is StatusCode.ERROR


def test_without_the_libraries_traces_are_refused_by_name(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(serving, "log_as_json", lambda **_: None)
    monkeypatch.setitem(sys.modules, "opentelemetry.sdk.trace.export", None)
    assert main(["serve", "--traces", "http://127.0.0.1:4318"]) == 1
    assert "pip install tallyplate[traces]" in capsys.readouterr().err


@pytest.mark.parametrize(("share", "flags", "kept"), [(0.0, None, 0), (1.0, None, 1), (0.0, "01", 1), (1.0, "00", 0)])
def test_a_share_of_new_traces_is_kept_and_a_callers_own_as_the_caller_says(
    share: float, flags: str | None, kept: int
) -> None:
    exporter = InMemorySpanExporter()
    app = create_app(installation(), spans=recorded(SimpleSpanProcessor(exporter), share))
    headers = {"traceparent": f"00-{TRACE}-{PARENT}-{flags}"} if flags else {}
    answer = asking(app)("GET", "/health/live", headers=headers)
    assert len(exporter.get_finished_spans()) == kept
    assert len(answer.headers["x-request-id"]) == 32
    assert not flags or answer.headers["x-request-id"] == TRACE
