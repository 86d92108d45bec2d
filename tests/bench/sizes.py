"""Time and memory against size: holes, plates, lines, workers. Run by `python -m tests.bench.sizes`.

Of every size the best of a few turns counts, the sizes taken in turn. The exponent is that of the power law through
the points, by least squares on logarithms: 1 where time grows as size does, 0 where it does not grow.
"""

import itertools
import json
import os
import tempfile
import time
import tracemalloc
from collections.abc import Callable, Iterator
from datetime import date
from math import log
from pathlib import Path
from statistics import linear_regression
from typing import Any, Final

import tallyplate
from tallyplate.bulk.job import Job
from tallyplate.bulk.run import run
from tallyplate.contract import Charge, CostModule, Order, PerPiece, Stage
from tallyplate.pricing import Modules, price
from tests.bench.bulk import ROWS, paced
from tests.bench.drawing import Points, curve
from tests.bench.library import PLATE
from tests.costs.plain import BUILD, shop

HOLES: Final = (10, 100, 1_000, 10_000, 100_000, 1_000_000)
PLATES: Final = (100, 300, 1_000, 3_000)
LINES: Final = (5, 15, 50, 150, 500)
WORKERS: Final = (1, 2)
ROUNDS: Final = 3
BUILT: Final = Path("build")


def exponent(points: Points) -> float:
    """The slope of the line through the logarithms of points."""
    xs, ys = zip(*((log(x), log(y)) for x, y in points), strict=True)
    return linear_regression(xs, ys).slope


def report() -> Iterator[str]:
    """A table of each, and the charts that were written."""
    BUILT.mkdir(exist_ok=True)
    yield f"load at the beginning: {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores"
    parts: tuple[tuple[str, Callable[[], dict[str, Points]]], ...] = (
        ("holes", _holes),
        ("plates", _plates),
        ("lines", _lines),
        ("workers", _workers),
    )
    for name, measure in parts:
        for what, points in measure().items():
            law = f"{what}: {name} to the power of {exponent(points):.2f}"
            file = BUILT / f"sizes-{name}-{what.split()[0].lower()}.svg"
            file.write_text(curve(f"Cost against {name}", name, law, points), encoding="utf-8")
            yield f"{law}; drawn in {file}"
            yield from (f"  {size:>12,.0f} {figure:>14.5f}" for size, figure in points)


def _measured(contenders: dict[int, Callable[[], object]], rounds: int = ROUNDS) -> dict[str, Points]:
    """Seconds of each size, and the memory that it takes at most while it runs."""
    best = dict.fromkeys(contenders, float("inf"))
    for _ in range(rounds):
        for size, call in contenders.items():
            started = time.perf_counter()
            call()
            best[size] = min(best[size], time.perf_counter() - started)
    memory = {size: _peak(call) for size, call in contenders.items()}
    return {"seconds": list(best.items()), "MiB at most": list(memory.items())}


def _peak(call: Callable[[], object]) -> float:
    """Of Python's own allocations, in MiB."""
    tracemalloc.start()
    try:
        call()
        return tracemalloc.get_traced_memory()[1] / 2**20
    finally:
        tracemalloc.stop()


def _holes() -> dict[str, Points]:
    """Plates never seen before, each with a square of holes 5 mm apart."""
    installation, lengths = tallyplate.load(), itertools.count(1)

    def one(count: int) -> Callable[[], object]:
        def call() -> object:
            plate = {
                "family": "rectangular",
                "length": f"{1190 + next(lengths) / 1e4:.4f} mm",
                "width": "1190 mm",
                "material": "steel-1018",
                "pattern": {"pitch": f"{1189 / count**0.5:.4f} mm", "margin": "0.5 mm", "screw": "M10"}
                | {"arrangement": "combination"},
                "mounting": {"surface": "none"},
            }
            return installation.price({"plate": plate})

        return call

    return _measured({count: one(count) for count in HOLES}, rounds=20)


def _rows(count: int, lengths: Iterator[int]) -> list[bytes]:
    """Plates never seen before."""
    plate = json.dumps(json.loads(PLATE.read_bytes())).encode()
    return [plate.replace(b'"700 mm"', b'"%d.%03d mm"' % divmod(700_000 + next(lengths), 1000)) for _ in range(count)]


def _plates() -> dict[str, Points]:
    """Bulk runs of one process."""
    lengths = itertools.count(1)
    with tempfile.TemporaryDirectory() as folder:
        return _measured({count: _bulk(Path(folder), count, lengths) for count in PLATES}, rounds=2)


def _bulk(folder: Path, rows: int, lengths: Iterator[int]) -> Callable[[], object]:
    def call() -> object:
        source = folder / "in.ndjson"
        source.write_bytes(b"\n".join(_rows(rows, lengths)))
        totals = run(Job(source, folder / "out.ndjson", folder / "bad.ndjson"), restart=True)
        assert totals.priced == rows
        return totals

    return call


def _workers() -> dict[str, Points]:
    """Bulk runs of as many plates by several processes, once they have begun; the memory of all of them together."""
    lengths = itertools.count(1)
    best, most = dict.fromkeys(WORKERS, float("inf")), dict.fromkeys(WORKERS, 0.0)
    with tempfile.TemporaryDirectory() as folder:
        for workers in WORKERS * ROUNDS:
            seconds, memory = paced(Path(folder), _rows(ROWS, lengths), workers)
            best[workers], most[workers] = min(best[workers], seconds), max(most[workers], memory)
    return {"seconds": list(best.items()), "MiB resident": list(most.items())}


def _lines() -> dict[str, Points]:
    """Prices of a plate with ever more charges."""
    card, terms, order = tallyplate.load().cards[0], shop(), Order(3, date(2026, 6, 1))

    def one(count: int) -> Callable[[], Any]:
        charges = tuple(Charge(f"line {number}", 1 + number, PerPiece(100 + number, 2)) for number in range(count))
        modules = Modules.of({"model": CostModule(contract=1, stage=Stage.MAKE, charges=lambda *_: charges)})
        return lambda: price(BUILD, order, terms, card, modules)

    return _measured({count: one(count) for count in LINES}, rounds=100)


if __name__ == "__main__":
    for said in report():
        print(said, flush=True)
