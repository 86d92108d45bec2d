"""Some minutes at 70 % of the load that the service can carry: `python -m tests.bench.soak --minutes 10`.

The load is held where the service is busy for 70 % of the time.
"""

import argparse
import asyncio
from collections.abc import Iterator

import uvloop

from tests.bench.overload import percentile
from tests.bench.pressure import Busy, capacity, mixed, pressed, served
from tests.bench.ratios import Said, row

SHARE = 0.7
WARM = 20.0
"""Seconds until caches are full and memory is steady."""


def report(minutes: int) -> Iterator[Said]:
    """A line a minute, then what changed from the first to the last."""
    with served() as service, asyncio.Runner(loop_factory=uvloop.new_event_loop) as runner:
        sent = mixed()
        rate = SHARE * runner.run(capacity(service.port, sent, WARM))
        memory, began = [service.memory()], service.processor_seconds()
        answered = wrong = lost = unsent = 0
        for minute in range(1, minutes + 1):
            used, busy = service.processor_seconds(), Busy(service, SHARE, rate)
            load, health, _ = runner.run(pressed(service.port, sent, busy.due, 60.0))
            used, rate = service.processor_seconds() - used, busy.rate
            memory.append(service.memory())
            answered += load.answers[200]
            wrong += load.answers.total() - load.answers[200]
            lost += load.lost
            unsent += load.refused
            offered = f"busy for {used / 60:.0%}, {min(busy.rates):.0f} to {max(busy.rates):.0f}/s offered"
            times = f"p99 {percentile(load.seconds, 0.99):.0f} ms, health p99 {percentile(health.seconds, 0.99):.0f} ms"
            # What comes late is sent at once: a machine that stood still looks like a burst.
            still = f"caller held up by at most {load.held_up * 1000:.0f} ms"
            yield f"minute {minute}: {offered}; {dict(load.answers)}, {times}, {memory[-1]:.1f} MB; {still}"
        used = service.processor_seconds() - began
    yield f"{answered} priced, {wrong} refused or failed, {lost} without an answer, {unsent} not sent"
    yield f"{answered / used:.0f} prices a second of one core's time"
    yield row("memory at the end / half-way", memory[-1] / memory[(minutes + 1) // 2], "at most 1.05")
    yield row("memory at the end / after the first minute", memory[-1] / memory[1], "")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--minutes", type=int, choices=range(1, 1441), default=10, metavar="N")
    for line in report(parser.parse_args().minutes):
        print(line, flush=True)
