"""Twice the load that the service can carry: `python -m tests.bench.overload`."""

import asyncio
from collections import Counter
from collections.abc import Iterator
from functools import partial
from operator import mul

import uvloop

from tests.bench.pressure import capacity, new_plates, pressed, served
from tests.bench.ratios import Said, row

SECONDS, TURNS = 5.0, 6
WARM = 4.0


def percentile(seconds: list[float], share: float) -> float:
    """In ms; 0 of none."""
    ordered = sorted(seconds)
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))] * 1000 if ordered else 0.0


def report() -> Iterator[Said]:
    """What is kept of the best throughput, how fast the rest is refused, and how health and memory fare.

    Best and pressed take turns, since a shared machine changes its speed in between.
    """
    with served() as service, asyncio.Runner(loop_factory=uvloop.new_event_loop) as runner:
        sent = new_plates()
        runner.run(capacity(service.port, sent, WARM))
        before = service.memory()
        best, answers, lost, unsent = list[float](), Counter[int](), 0, 0
        priced, refused, asked = list[float](), list[float](), list[float]()
        for _ in range(TURNS):
            rate = runner.run(capacity(service.port, sent, SECONDS))
            load, health, refusals = runner.run(pressed(service.port, sent, partial(mul, 2 * rate), SECONDS))
            best.append(rate)
            answers += load.answers
            lost, unsent = lost + load.lost, unsent + load.refused
            priced, refused, asked = priced + load.seconds, refused + refusals, asked + health.seconds
        after = service.memory()
    yield f"best {min(best):.0f} to {max(best):.0f}/s; offered twice that; answers {dict(answers)}, not sent {unsent}"
    yield row("priced under twice the load / best", answers[200] / SECONDS / sum(best), "at least 0.80")
    yield row("memory under it / before", after / before, "at most 1.25")
    yield f"lost {lost}"
    yield f"priced p50 {percentile(priced, 0.5):.0f} ms, p99 {percentile(priced, 0.99):.0f}"
    yield f"refused p50 {percentile(refused, 0.5):.1f} ms, p99 {percentile(refused, 0.99):.1f}"
    yield f"health p99 {percentile(asked, 0.99):.1f} ms, slowest {max(asked) * 1000:.1f}; aim 100"


if __name__ == "__main__":
    for line in report():
        print(line)
