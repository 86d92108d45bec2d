"""Many plates at once: bulk rows against the bare decode and encode, processes against one, and batches over HTTP."""

import itertools
import json
import os
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from http.client import HTTPConnection
from pathlib import Path

import msgspec

import tallyplate
from tallyplate.bulk.job import Job
from tallyplate.bulk.run import run
from tests.bench.endpoint import Server, server
from tests.bench.library import PLATE
from tests.bench.ratios import Said, row

ROWS, ROUNDS = 1500, 3
"""Rows of a run, and runs of each kind."""


def report() -> Iterator[Said]:
    """Ratios of bulk runs and of batches, each contender in turn."""
    lengths = itertools.count(1)
    plate = json.dumps(json.loads(PLATE.read_bytes())).encode()
    installation = tallyplate.load()
    decoder, answer = msgspec.json.Decoder(), installation.price(json.loads(plate))

    def rows() -> list[bytes]:
        """Plates never seen before."""
        return [
            plate.replace(b'"700 mm"', b'"%d.%03d mm"' % divmod(700_000 + next(lengths), 1000)) for _ in range(ROWS)
        ]

    def floor(lines: list[bytes]) -> None:
        for line in lines:
            decoder.decode(line)
            msgspec.json.encode(answer)

    def one_by_one(lines: list[bytes]) -> None:
        for line in lines:
            installation.price_json(line)

    with tempfile.TemporaryDirectory() as folder, server("tallyplate.cli", "serve", "--port", "PORT") as served:
        contenders: dict[str, Callable[[list[bytes]], float]] = {
            "floor": lambda lines: _timed(floor, lines),
            "library": lambda lines: _timed(one_by_one, lines),
            "batch": lambda lines: _timed(lambda: _batch(served.connection, lines)),
            "calls": lambda lines: _timed(lambda: _each(served, lines)),
            "one": lambda lines: paced(Path(folder), lines, 1)[0],
            "two": lambda lines: paced(Path(folder), lines, 2)[0],
        }
        best = dict.fromkeys(contenders, float("inf"))
        for _ in range(ROUNDS):
            for name, contender in contenders.items():
                # The service closes a connection that lay idle while others ran; the next request opens another.
                served.connection.close()
                best[name] = min(best[name], contender(rows()))
    yield row("bulk NDJSON, one process / bare decode + encode of as many plates", best["one"] / best["floor"], "")
    yield row("  / the library called for each", best["one"] / best["library"], "at most 1.3")
    yield row("  rows a second of two processes / of one, once they have begun", best["one"] / best["two"], "")
    yield row("a batch over HTTP / the library called for each", best["batch"] / best["library"], "at most 1.3")
    yield row("  / a call for each over one connection", best["batch"] / best["calls"], "")


def _timed(work: Callable[..., object], *arguments: object) -> float:
    """Seconds that all rows take."""
    started = time.perf_counter()
    work(*arguments)
    return time.perf_counter() - started


def _each(served: Server, lines: list[bytes]) -> None:
    for line in lines:
        served.ask(line)


def paced(folder: Path, lines: list[bytes], workers: int) -> tuple[float, float]:
    """Seconds that all rows take at the rate between the first shard that is finished and the last; and MiB."""
    source = folder / "in.ndjson"
    source.write_bytes(b"\n".join(lines))
    marks: list[tuple[float, int, float]] = []

    def mark(what: str, finished: int, _: int) -> None:
        if what == "pricing" and finished:
            marks.append((time.perf_counter(), finished, _resident()))

    job = Job(source, folder / "out.ndjson", folder / "bad.ndjson")
    assert run(job, workers, mark, restart=True).priced == ROWS
    (began, first, _), (ended, last, _) = marks[0], marks[-1]
    return (ended - began) / (last - first) * ROWS, max(memory for _, _, memory in marks)


def _resident() -> float:
    """Memory of this process and its children together, in MiB; what they share counts for each."""
    own = Path(f"/proc/self/task/{os.getpid()}")
    pages = [int((own.parent.parent / "statm").read_text().split()[1])]
    for child in (own / "children").read_text().split():
        with suppress(FileNotFoundError):
            pages.append(int(Path(f"/proc/{child}/statm").read_text().split()[1]))
    return sum(pages) * os.sysconf("SC_PAGE_SIZE") / 2**20


def _batch(connection: HTTPConnection, lines: list[bytes]) -> None:
    """Less than a mebibyte, which may be sent before any answer is taken."""
    connection.request("POST", "/v1/prices/batch", b"\n".join(lines), {"content-type": "application/x-ndjson"})
    content = connection.getresponse().read()
    assert content.count(b'"unit_price"') == ROWS
