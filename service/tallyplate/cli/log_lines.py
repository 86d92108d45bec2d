"""Log lines that no answer waits for: a full disk, a closed pipe or a reader that stopped costs lines, not service."""

import atexit
import os
import time
from collections import deque
from threading import Event, Thread
from typing import Final

import msgspec
import structlog
from structlog.processors import format_exc_info
from structlog.typing import EventDict, Processor, WrappedLogger

MOST: Final = 10_000
"""Lines that are held while they cannot be written; those that come then are counted and lost."""

PAUSE: Final = 0.05
"""Seconds between two writes."""

WHOLE: Final = 4096
"""Bytes that a pipe takes in one piece (PIPE_BUF of Linux), so that lines of several processes do not mix."""

ALONE: Final = 64 * 1024
"""Bytes that are written at once where no other process writes there: each write holds up the loop for a moment."""


class Lines:
    """Lines on their way to a file descriptor, written by a thread of its own."""

    def __init__(self, descriptor: int = 1, most: int = MOST, pause: float = PAUSE, piece: int = WHOLE) -> None:
        self._descriptor, self._most, self._pause, self._piece = descriptor, most, pause, piece
        self._held = deque[bytes]()
        self._lost = 0
        self._ended = Event()
        self._thread = Thread(target=self._run, name="log", daemon=True)
        self._thread.start()

    def msg(self, line: bytes) -> None:
        """Take a line."""
        if len(self._held) < self._most:
            self._held.append(line + b"\n")
        else:
            self._lost += 1

    debug = info = warning = error = critical = exception = msg

    def close(self) -> None:
        """Write what is held, as far as that goes within a second."""
        self._ended.set()
        self._thread.join(1.0)

    def _run(self) -> None:
        while not self._ended.wait(self._pause):
            self._write()
        self._write()

    def _write(self) -> None:
        while self._held:
            piece, lines = bytearray(), 0
            while self._held and (not piece or len(piece) + len(self._held[0]) <= self._piece):
                piece += self._held.popleft()
                lines += 1
            try:
                while piece:
                    piece = piece[os.write(self._descriptor, piece) :]
            except OSError:
                self._lost += lines
                return
            if self._lost:
                lost, self._lost = self._lost, 0
                self._held.append(msgspec.json.encode({"event": "log lines lost", "lines": lost}) + b"\n")


class Stamp:
    """The time as RFC 3339 has it, in UTC to the millisecond; what it has in common with the last is kept."""

    def __init__(self) -> None:
        self._second, self._text = -1, ""

    def __call__(self, now: float) -> str:
        """A moment, in seconds since 1970."""
        second = int(now)
        if second != self._second:
            self._second, self._text = second, time.strftime("%Y-%m-%dT%H:%M:%S", time.gmtime(second))
        return f"{self._text}.{int((now - second) * 1000):03d}Z"


def rendered(stamp: Stamp) -> Processor:
    """An event as a line of JSON. One step instead of the library's four, which took twice as long."""

    def render(logger: WrappedLogger, level: str, event: EventDict) -> bytes:
        if level == "exception":
            level = "error"
            event.setdefault("exc_info", True)
        if "exc_info" in event:
            event = format_exc_info(logger, level, event)
        event["level"] = level
        event["timestamp"] = stamp(event.pop("at", None) or time.time())
        return msgspec.json.encode(event, enc_hook=repr)

    return render


def log_as_json(*, alone: bool = True) -> None:
    """One JSON object a line on standard output, to which no other process writes where it is `alone`."""
    lines = Lines(piece=ALONE if alone else WHOLE)
    atexit.register(lines.close)
    structlog.configure(
        processors=[rendered(Stamp())],
        logger_factory=lambda *_: lines,
        wrapper_class=structlog.BoundLogger,
        cache_logger_on_first_use=True,
    )
