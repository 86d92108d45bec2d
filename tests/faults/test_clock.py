"""The clock of the host jumps: dates follow it, and nothing that is measured in seconds does."""

import time
from datetime import UTC, date, datetime, timedelta, tzinfo

import pytest
from prometheus_client.parser import text_string_to_metric_families

from tallyplate import installation as composed
from tallyplate.http.app import create_app
from tallyplate.http.throttle import Buckets
from tests.plates import installation, request
from tests.serving import asking


class Jumped(datetime):
    """The present, some days away."""

    days = 0

    @classmethod
    def now(cls, tz: tzinfo | None = None) -> "Jumped":
        moved = datetime.now(tz) + timedelta(days=cls.days)
        return cls.fromisoformat(moved.isoformat())


def test_a_clock_that_jumps_changes_todays_rates_and_no_dated_price(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(composed, "datetime", Jumped)
    ask = asking(create_app(installation()))
    dated = request({"/as_of": "2026-03-02"})
    expected = ask("POST", "/v1/prices", json=dated).content
    # Before there were any rates, after the usual date, and back again.
    before_all = (date(1990, 1, 1) - datetime.now(UTC).date()).days
    for days, ready in ((before_all, 503), (3650, 200), (0, 200)):
        monkeypatch.setattr(Jumped, "days", days)
        assert ask("GET", "/health/ready").status_code == ready
        assert ask("GET", "/health/live").status_code == 200
        assert ask("POST", "/v1/prices", json=dated).content == expected
    told = text_string_to_metric_families(ask("GET", "/metrics").text)
    (seconds,) = (family for family in told if family.name == "tallyplate_request_seconds")
    assert all(0 <= sample.value < 60 for sample in seconds.samples if sample.name.endswith("_sum"))


def test_tokens_come_with_the_monotonic_clock_and_not_with_the_hosts(monkeypatch: pytest.MonkeyPatch) -> None:
    buckets = Buckets(0.001, 1, 10)
    assert buckets.wait("a") == 0.0
    for jump in (1e9, -1e9):
        monkeypatch.setattr(time, "time", lambda jump=jump: jump)
        assert buckets.wait("a") > 900
