"""What logs, metrics, traces and limits cost in processor time of the service: `python -m tests.bench.layers`."""

import asyncio
import sys
from collections.abc import Iterator
from contextlib import ExitStack
from statistics import median
from typing import Any

import uvicorn
import uvloop

import tallyplate
from tallyplate.access.gate import Gate
from tallyplate.cli.log_lines import log_as_json
from tallyplate.cli.serving import TOLD_LATER
from tallyplate.http.app import create_app
from tallyplate.http.guard import Identified
from tallyplate.http.observe import Observed
from tests.bench.endpoint import server
from tests.bench.library import PLATE
from tests.bench.pressure import asked
from tests.bench.ratios import Said, row
from tests.faults.load import message

ROUNDS, CALLS = 40, 400
CONNECTIONS = 8
CONTENDERS = ("bare", "seen", "traced", "whole")


def main(kind: str, port: int) -> None:
    """Serve with some layers left out."""
    log_as_json()
    whole = create_app(tallyplate.load(), told_later=TOLD_LATER)
    app: Any = whole
    if kind != "whole":
        bare: Any = whole.app
        while type(bare).__name__ != "Litestar":
            bare = bare.app if hasattr(bare, "app") else bare.__closure__[0].cell_contents
        app = Identified(bare, Gate())
        if kind != "bare":
            app = Observed(app, whole.metrics, whole.routes, _spans() if kind == "traced" else None, later=TOLD_LATER)
    uvicorn.run(app, port=port, access_log=False, log_level="warning")


def _spans() -> Any:
    from opentelemetry.sdk.trace.export import BatchSpanProcessor  # noqa: PLC0415 - optional
    from opentelemetry.sdk.trace.export.in_memory_span_exporter import InMemorySpanExporter  # noqa: PLC0415

    from tallyplate.http.tracing import recorded  # noqa: PLC0415

    return recorded(BatchSpanProcessor(InMemorySpanExporter()))


def report() -> Iterator[Said]:
    """Throughput of one core that each layer leaves, for a price that is remembered: the hardest case."""
    sent = message("/v1/prices", PLATE.read_bytes())
    with ExitStack() as stack, asyncio.Runner(loop_factory=uvloop.new_event_loop) as runner:
        servers = {kind: stack.enter_context(server("tests.bench.layers", kind, "PORT")) for kind in CONTENDERS}
        turns: list[dict[str, float]] = []
        for _ in range(ROUNDS + 1):
            turns.append({})
            for kind, one in servers.items():
                before = one.processor_seconds()
                runner.run(asked(one.connection.port, lambda: sent, CALLS, CONNECTIONS))
                turns[-1][kind] = one.processor_seconds() - before
    del turns[0]  # It warms up.
    # A shared machine changes its speed from turn to turn by more than a layer takes.
    kept = {kind: median(turn["bare"] / turn[kind] for turn in turns) for kind in CONTENDERS}
    yield f"bare: {median(turn['bare'] for turn in turns) / CALLS * 1e6:.0f} us of processor time a request"
    yield row("with logs and metrics / without", kept["seen"], "")
    yield row("with logs, metrics and traces / without", kept["traced"], "at least 0.80")
    yield row("with logs, metrics, deadlines, limits and admission / without", kept["whole"], "")


if __name__ == "__main__":
    if len(sys.argv) > 1:
        main(sys.argv[1], int(sys.argv[2]))
    else:
        for line in report():
            print(line)
