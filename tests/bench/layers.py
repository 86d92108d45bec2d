"""What logs, metrics, limits and traces cost in processor time of the service: `python -m tests.bench.layers`."""

import sys
from collections.abc import Iterator
from contextlib import ExitStack
from typing import Any

import uvicorn

import tallyplate
from tallyplate.access.gate import Gate
from tallyplate.cli.log_lines import log_as_json
from tallyplate.http.app import create_app
from tallyplate.http.guard import Identified
from tallyplate.http.observe import Observed
from tests.bench.endpoint import Server, server
from tests.bench.library import PLATE
from tests.bench.ratios import Said, row

ROUNDS, CALLS = 10, 400
CONTENDERS = ("bare", "seen", "whole", "traced")


def main(kind: str, port: int) -> None:
    """Serve with some layers left out."""
    log_as_json()
    app: Any = create_app(tallyplate.load(), spans=_spans() if kind == "traced" else None)
    if kind in {"bare", "seen"}:
        observed, bare = app, app
        while type(bare).__name__ != "Litestar":
            bare = bare.app if hasattr(bare, "app") else bare.__closure__[0].cell_contents
        app = Identified(bare, Gate())
        if kind == "seen":
            app = Observed(app, observed.metrics, observed.routes)
    uvicorn.run(app, port=port, access_log=False, log_level="warning")


def _spans() -> Any:
    from opentelemetry.sdk.trace.export import BatchSpanProcessor  # noqa: PLC0415 - optional
    from opentelemetry.sdk.trace.export.in_memory_span_exporter import InMemorySpanExporter  # noqa: PLC0415

    from tallyplate.http.tracing import recorded  # noqa: PLC0415

    return recorded(BatchSpanProcessor(InMemorySpanExporter()))


def report() -> Iterator[Said]:
    """Throughput of one core that each layer leaves, for a price that is remembered: the hardest case."""
    body = PLATE.read_bytes()
    with ExitStack() as stack:
        servers = {kind: stack.enter_context(server("tests.bench.layers", kind, "PORT")) for kind in CONTENDERS}
        taken = dict.fromkeys(servers, 0.0)
        for turn in range(ROUNDS + 1):
            for kind, one in servers.items():
                taken[kind] += _turn(one, body) if turn else 0.0 * _turn(one, body)
    yield f"bare: {taken['bare'] / ROUNDS / CALLS * 1e6:.0f} us of processor time a request"
    yield row("with logs and metrics / without", taken["bare"] / taken["seen"], "at least 0.80")
    yield row("with deadlines, limits and admission too / without", taken["bare"] / taken["whole"], "")
    yield row("with traces too / without", taken["bare"] / taken["traced"], "")


def _turn(one: Server, body: bytes) -> float:
    before = one.processor_seconds()
    for _ in range(CALLS):
        one.ask(body)
    return one.processor_seconds() - before


if __name__ == "__main__":
    if len(sys.argv) > 1:
        main(sys.argv[1], int(sys.argv[2]))
    else:
        for line in report():
            print(line)
