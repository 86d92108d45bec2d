"""Twice the load that the service can carry: `python -m tests.bench.overload`."""

import asyncio
from collections.abc import Iterator

import uvloop

from tests.bench.pressure import capacity, new_plates, pressed, served
from tests.bench.ratios import Said, row

SECONDS = 12.0
WARM = 4.0


def percentile(seconds: list[float], share: float) -> float:
    """In ms; 0 of none."""
    ordered = sorted(seconds)
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))] * 1000 if ordered else 0.0


def report() -> Iterator[Said]:
    """What is kept of the best throughput, how fast the rest is refused, and how health and memory fare."""
    with served() as service, asyncio.Runner(loop_factory=uvloop.new_event_loop) as runner:
        sent = new_plates()
        runner.run(capacity(service.port, sent, WARM))
        used = service.processor_seconds()
        best = runner.run(capacity(service.port, sent, SECONDS))
        alone, used = service.processor_seconds() - used, service.processor_seconds()
        before = service.memory()
        load, health, refusals = runner.run(pressed(service.port, sent, lambda now: 2 * best * now, SECONDS))
        pressing, after = service.processor_seconds() - used, service.memory()
    kept = load.answers[200] / SECONDS
    yield f"best {best:.0f}/s; offered {2 * best:.0f}/s; answers {dict(load.answers)}, not sent {load.refused}"
    yield row("priced under twice the load / best", kept / best, "at least 0.80")
    yield row("  the same, by processor time of the service", kept / pressing / (best / alone), "")
    yield f"processor time: {alone / SECONDS:.2f} of a core at best, {pressing / SECONDS:.2f} under twice the load"
    yield row("memory under it / before", after / before, "at most 1.25")
    yield f"lost {load.lost}"
    yield f"priced p50 {percentile(load.seconds, 0.5):.0f} ms, p99 {percentile(load.seconds, 0.99):.0f}"
    yield f"refused p50 {percentile(refusals, 0.5):.1f} ms, p99 {percentile(refusals, 0.99):.1f}"
    yield f"health p99 {percentile(health.seconds, 0.99):.1f} ms, slowest {max(health.seconds) * 1000:.1f}; aim 100"


if __name__ == "__main__":
    for line in report():
        print(line)
