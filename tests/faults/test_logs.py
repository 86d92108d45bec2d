"""What happens to the log happens to the log alone."""

import json
import os
from pathlib import Path
from typing import Any

import httpx
import pytest
import structlog

from tallyplate.cli.log_lines import Lines, Stamp, rendered
from tests.serving import serving


def test_a_full_disk_under_the_log_does_not_reach_the_answers() -> None:
    with serving(log=Path("/dev/full")) as address:
        for _ in range(20):
            assert httpx.get(f"{address}/v1/families").status_code == 200


def _read(reading: int) -> list[Any]:
    os.set_blocking(reading, False)
    content = b""
    try:
        while some := os.read(reading, 1 << 16):
            content += some
    except BlockingIOError:
        pass
    return [json.loads(line) for line in content.splitlines()]


def test_a_reader_that_has_stopped_costs_lines_and_they_are_counted() -> None:
    reading, writing = os.pipe()
    lines = Lines(writing, most=100, pause=0.001)
    sent = 2000
    for number in range(sent):
        lines.msg(json.dumps({"event": "answered", "number": number, "fill": "x" * 100}).encode())
    # Nobody has read, and nobody was held up: a pipe takes 64 kB and no more.
    got: list[Any] = []
    for _ in range(200):
        got += _read(reading)
        if any(line["event"] == "log lines lost" for line in got):
            break
        lines.msg(b'{"event":"tick"}')
        os.set_blocking(reading, True)
    lines.close()
    got += _read(reading)
    os.close(reading)
    os.close(writing)
    lost = sum(line["lines"] for line in got if line["event"] == "log lines lost")
    whole = sum(line["event"] == "answered" for line in got)
    assert 0 < lost < sent
    assert whole + lost >= sent


def test_a_closed_pipe_loses_lines_and_raises_nothing() -> None:
    reading, writing = os.pipe()
    os.close(reading)
    lines = Lines(writing, pause=0.001)
    lines.msg(b"{}")
    lines.close()
    os.close(writing)
    assert not lines._thread.is_alive()


def test_what_was_said_last_is_written_at_the_end() -> None:
    reading, writing = os.pipe()
    lines = Lines(writing, pause=60.0)
    lines.msg(b'{"event":"last"}')
    lines.close()
    os.close(writing)
    assert _read(reading) == [{"event": "last"}]
    os.close(reading)


def test_a_line_has_its_level_its_time_and_the_trace_of_a_failure() -> None:
    class Kept:
        def __init__(self) -> None:
            self.lines: list[Any] = []

        def error(self, line: bytes) -> None:
            self.lines.append(json.loads(line))

        exception = info = error

    kept = Kept()
    log = structlog.wrap_logger(kept, processors=[rendered(Stamp())], wrapper_class=structlog.BoundLogger)
    log.info("answered", status=200)
    try:
        1 / 0  # noqa: B018 - fails
    except ZeroDivisionError:
        log.exception("failed")
    answered, failed = kept.lines
    assert (answered["event"], answered["level"], answered["status"]) == ("answered", "info", 200)
    assert (failed["event"], failed["level"]) == ("failed", "error")
    assert "ZeroDivisionError: division by zero" in failed["exception"]
    assert "Traceback" in failed["exception"]


@pytest.mark.parametrize(
    ("now", "text"), [(0.0, "1970-01-01T00:00:00.000Z"), (1_767_225_599.9996, "2025-12-31T23:59:59.999Z")]
)
def test_a_time_is_utc_to_the_millisecond(now: float, text: str) -> None:
    stamp = Stamp()
    assert (stamp(now), stamp(now)) == (text, text)
