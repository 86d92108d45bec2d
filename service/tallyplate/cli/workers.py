"""Several processes on one port: each takes connections from the same socket, so that none of its queue is lost.

One that dies is replaced. SIGHUP replaces all, one after the other, each new one ready before an old one drains.
SIGTERM drains all. A worker whose parent is gone drains too.
"""

import os
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Final

import structlog
from msgspec import Struct

from tallyplate.http.drain import LAST, no_more
from tallyplate.http.limits import Limits
from tallyplate.http.metrics import SHARED

STEP: Final = 0.05
"""Seconds between two looks at the workers."""

READY: Final = 60.0
"""Seconds that a worker may take to become ready."""

REST: Final = 1.0
"""Least seconds between two starts of a worker in one place, so that one that cannot start keeps nobody busy."""

log = structlog.get_logger("tallyplate.workers")


class Worker(Struct):
    """A process; `life` is our end of a pair of sockets: it says that it is ready, and ends when we do."""

    process: subprocess.Popen[bytes]
    life: socket.socket
    started: float
    ready: bool = False

    def look(self) -> None:
        """Whether it has said that it is ready."""
        if not self.ready:
            try:
                self.ready = self.life.recv(1) != b""
            except BlockingIOError:
                return


IN_MEMORY: Final = Path("/dev/shm")  # noqa: S108 - mkdtemp makes a folder of its own there, for its owner alone
"""Where Linux keeps files that are on no disk."""


class Workers:
    """The workers behind a listening socket."""

    def __init__(self, arguments: Sequence[str], listening: socket.socket, limits: Limits) -> None:
        self.arguments, self.listening, self.limits = arguments, listening, limits
        self.here: list[Worker] = []
        self.leaving: list[Worker] = []
        self.told: set[int] = set()
        # The workers map files there, and a disk that is full would end whoever counts.
        self.metrics = tempfile.mkdtemp(prefix="tallyplate-metrics-", dir=IN_MEMORY if IN_MEMORY.is_dir() else None)

    def run(self, count: int) -> int:
        """Serve until told to end; 0, or the code of a first worker that could not start."""
        for which in (signal.SIGTERM, signal.SIGINT, signal.SIGHUP):
            signal.signal(which, lambda number, _: self.told.add(number))
        self.here = [self.start() for _ in range(count)]
        try:
            if not all(map(self.became_ready, self.here)):
                return next((code for worker in self.here if (code := worker.process.poll())), 1)
            log.info("workers ready", workers=[worker.process.pid for worker in self.here])
            while not self.told & {signal.SIGTERM, signal.SIGINT}:
                self.look()
                time.sleep(STEP)
            if signal.SIGINT not in self.told:
                self.say_goodbye()
        finally:
            self.end()
            shutil.rmtree(self.metrics, ignore_errors=True)
        return 0

    def start(self) -> Worker:
        """A new worker, which is not ready yet."""
        ours, theirs = socket.socketpair()
        ours.setblocking(False)
        handed = (self.listening.fileno(), theirs.fileno())
        command = [sys.executable, "-m", "tallyplate.cli", *self.arguments, "--worker", *map(str, handed)]
        environment = os.environ | {SHARED: self.metrics}
        process = subprocess.Popen(command, pass_fds=handed, env=environment)  # noqa: S603 - our own command
        theirs.close()
        return Worker(process, ours, time.monotonic())

    def became_ready(self, worker: Worker) -> bool:
        """Wait until a worker is ready, has ended, or takes too long; or until the end is told."""
        while not worker.ready and not self.told & {signal.SIGTERM, signal.SIGINT}:
            if worker.process.poll() is not None or time.monotonic() > worker.started + READY:
                return False
            worker.look()
            time.sleep(STEP)
        return True

    def look(self) -> None:
        """Replace those that died, and all when told to."""
        self.leaving = [worker for worker in self.leaving if worker.process.poll() is None]
        for place, worker in enumerate(self.here):
            code = worker.process.poll()
            if code is not None and time.monotonic() > worker.started + REST:
                log.error("worker died", worker=worker.process.pid, code=code)
                worker.life.close()
                self.here[place] = self.start()
        if signal.SIGHUP in self.told:
            self.told.discard(signal.SIGHUP)
            self.replace()

    def replace(self) -> None:
        """A new worker for each; where one cannot start, the rest of the old ones stay."""
        for place, old in enumerate(self.here):
            new = self.start()
            if not self.became_ready(new):
                log.error("restart given up: a new worker did not become ready", kept=old.process.pid)
                new.process.kill()
                new.process.wait()
                return
            self.here[place] = new
            old.process.terminate()
            self.leaving.append(old)
        log.info("workers replaced", workers=[worker.process.pid for worker in self.here])

    def say_goodbye(self) -> None:
        """Let all workers say goodbye while they still take connections; then no more come."""
        for worker in self.here:
            worker.look()
            if worker.ready:  # One that is not would take the signal for an order to die, and has nobody to tell.
                worker.process.send_signal(signal.SIGUSR1)
        time.sleep(self.limits.drain_seconds)
        no_more(self.listening)
        time.sleep(LAST)

    def end(self) -> None:
        """End all workers, by force those that do not."""
        everybody = [*self.here, *self.leaving]
        for worker in everybody:
            worker.process.terminate()
        until = time.monotonic() + self.limits.drain_seconds + self.limits.finish_seconds + REST
        for worker in everybody:
            try:
                worker.process.wait(max(0.0, until - time.monotonic()))
            except subprocess.TimeoutExpired:
                log.error("worker killed", worker=worker.process.pid)  # noqa: TRY400 - no trace tells more
                worker.process.kill()
                worker.process.wait()
