"""Metrics in Prometheus' text format: latency by route, answers by status, refusals by kind, and what is loaded."""

import os
from collections.abc import Callable, Iterator
from contextlib import suppress
from typing import Any, Final

from prometheus_client import CollectorRegistry, Counter, Histogram, generate_latest
from prometheus_client.core import GaugeMetricFamily, Metric
from prometheus_client.multiprocess import MultiProcessCollector
from prometheus_client.registry import Collector

from tallyplate.contract import Refusal
from tallyplate.reload import Current

SHARED: Final = "PROMETHEUS_MULTIPROC_DIR"
"""Names the folder in which the metrics library joins the counts of several processes."""

BUCKETS: Final = (0.0005, 0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 1.0)


class Loaded(Collector):
    """What is loaded, as it is when it is asked for."""

    def __init__(self, current: Current) -> None:
        self.current = current

    def collect(self) -> Iterator[Metric]:
        """Rate cards, the versions in force today, and refused reloads."""
        installation = self.current.installation
        yield GaugeMetricFamily("tallyplate_rate_cards", "Rate cards loaded.", len(installation.cards))
        yield GaugeMetricFamily(
            "tallyplate_reloads_refused", "Newer rates or shop data refused so far.", self.current.failures
        )
        in_force = GaugeMetricFamily(
            "tallyplate_in_force", "Rate card and shop data of today.", labels=["part", "id", "digest"]
        )
        with suppress(Refusal):  # Where none is in force yet, none is shown.
            card, shop = installation.in_force(installation.today())
            in_force.add_metric(["rate_card", card.id, card.digest], 1)
            in_force.add_metric(["shop_data", shop.id, shop.digest], 1)
        yield in_force


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
        self.answers = self._counter("tallyplate_answers", "Answers, by route and status.", "route", "status")
        self.problems = self._counter("tallyplate_problems", "Refusals and failures, by kind.", "kind")
        self.shed = self._counter("tallyplate_shed", "Requests refused because too many waited, by lane.", "lane")
        self.loaded = Loaded(current)
        self.settle: Callable[[], None] = lambda: None
        """Counts what was seen and not counted yet."""
        self._bound: dict[tuple[str, int], tuple[Any, Any]] = {}

    def _counter(self, name: str, said: str, *labels: str) -> Counter:
        return Counter(f"{name}_total", said, labels, registry=self.registry)

    def observe(self, route: str, status: int, seconds: float) -> None:
        """Count one answer; labels are bound once, which is what costs."""
        bound = self._bound.get((route, status))
        if bound is None:
            bound = self.seconds.labels(route), self.answers.labels(route, str(status or "none"))
            self._bound[route, status] = bound
        bound[0].observe(seconds)
        bound[1].inc()

    def text(self) -> bytes:
        """All metrics in Prometheus' text format: of all workers where there are several, else of this process."""
        self.settle()
        together = CollectorRegistry()
        if SHARED in os.environ:
            MultiProcessCollector(together)  # type: ignore[no-untyped-call] # untyped in its library
        else:
            together.register(self.registry)
        together.register(self.loaded)
        return generate_latest(together)
