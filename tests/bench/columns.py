"""Totals of a catalogue: in columns, plate by plate, and by whole bulk runs from Parquet and from NDJSON.

The catalogue has every size of a table in every thickness, material, finish and quantity, as a maker's has. Beside it
stands one whose plates all have sizes of their own, so that the places of their screws are sought for each.
"""

import itertools
import json
import random
import tempfile
import time
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import Any

import pyarrow as pa
from pyarrow import parquet

import tallyplate
from tallyplate.answers import PriceAnswer
from tallyplate.bulk.job import Job, Lines
from tallyplate.bulk.run import run
from tallyplate.many import Totals, tabled, together
from tests.bench.library import PLATE
from tests.bench.ratios import Said, row

ROUNDS = 3
SAMPLE = 600
"""Plates of a catalogue that are priced one by one."""

Json = dict[str, Any]


def catalogue() -> list[Json]:
    """Sizes x thicknesses x materials x finishes x quantities, in no order."""
    plate = json.loads(PLATE.read_bytes())
    kinds = itertools.product(
        range(300, 1000, 25),
        range(250, 650, 50),
        ("20 mm", "30 mm", "40 mm", "1.9 in"),
        ("al-6061-t6", "al-5083", "steel-1018"),
        ("plain", "anodized"),
        (1, 2, 5, 10, 25),
    )
    made = [
        {
            **plate,
            "plate": {**plate["plate"], "length": f"{length} mm", "width": f"{width} mm"}
            | {"thickness": thickness, "material": material, "finish": finish},
            "quantity": quantity,
        }
        for length, width, thickness, material, finish, quantity in kinds
        if (material, finish) != ("steel-1018", "anodized")
    ]
    random.Random(1).shuffle(made)  # noqa: S311 - an order that means nothing
    return made


def all_different(count: int) -> list[Json]:
    """Plates of which no two have a size in common."""
    plate, chance = json.loads(PLATE.read_bytes()), random.Random(2)  # noqa: S311 - any sizes
    return [
        {
            **plate,
            "plate": {
                **plate["plate"],
                "length": f"{300 + number / 16:.4f} mm",
                "width": f"{chance.uniform(250, 650):.3f} mm",
            },
        }
        for number in range(count)
    ]


def report() -> Iterator[Said]:
    """Seconds a plate of each way, in turn; the totals of all ways are the same."""
    for name, rows in (("a catalogue", catalogue()), ("plates that all differ in size", all_different(8000))):
        ways = ("columns", "alone", "parquet", "parquet, whole", "ndjson", "ndjson, totals")
        best = dict.fromkeys(ways, float("inf"))
        with tempfile.TemporaryDirectory() as text:
            folder = Path(text)
            _write(folder, rows)
            found: list[Totals] = []
            alone: list[PriceAnswer] = []
            for _ in range(ROUNDS):
                fresh = tallyplate.load()
                seconds, found = _timed(rows, fresh)
                began = time.perf_counter()
                alone = [fresh.price(one) for one in rows[:SAMPLE]]
                took = {
                    "columns": seconds / len(rows),
                    "alone": (time.perf_counter() - began) / SAMPLE,
                    "parquet": _each(folder, "in.parquet", "none", len(rows)),
                    "parquet, whole": _each(folder, "few.parquet", "nested", SAMPLE),
                    "ndjson": _each(folder, "few.ndjson", "nested", SAMPLE),
                    "ndjson, totals": _each(folder, "in.ndjson", "none", len(rows)),
                }
                best = {way: min(best[way], took[way]) for way in ways}
        totals = {
            place: total
            for part in found
            for place, total in zip(part.places.tolist(), part.totals.tolist(), strict=True)
        }
        assert all(totals.get(place) in {None, round(float(one.total) * 100)} for place, one in enumerate(alone))
        yield f"{len(rows):,} plates of {name}: {len(totals) / len(rows):.0%} together, in {len(found)} parts"
        yield f"  us a plate: {', '.join(f'{way} {seconds * 1e6:.0f}' for way, seconds in best.items())}"
        yield row("  totals in columns / plate by plate, plates a second", best["alone"] / best["columns"], "")
        yield row("  bulk: totals from Parquet / whole prices from NDJSON", best["ndjson"] / best["parquet"], "30")
        yield row(
            "  bulk: totals from Parquet / whole prices from Parquet", best["parquet, whole"] / best["parquet"], ""
        )
        yield row("  bulk: totals from NDJSON / whole prices from NDJSON", best["ndjson"] / best["ndjson, totals"], "")


def _timed(rows: list[Json], installation: tallyplate.Installation) -> tuple[float, list[Totals]]:
    read = partial(installation.asked, today=installation.today())
    began = time.perf_counter()
    found, _ = together(tabled(rows), installation, read)
    return time.perf_counter() - began, found


def _write(folder: Path, rows: list[Json]) -> None:
    def flat(value: Any, name: str = "") -> Json:
        if isinstance(value, dict):
            return {key: one for step, inner in value.items() for key, one in flat(inner, f"{name}{step}.").items()}
        if isinstance(value, list):
            return flat({str(place): one for place, one in enumerate(value)}, name)
        return {name[:-1]: value}

    for name, some in (("in", rows), ("few", rows[:SAMPLE]), ("one", rows[:1])):
        parquet.write_table(pa.Table.from_pylist([flat(one) for one in some]), folder / f"{name}.parquet")
        (folder / f"{name}.ndjson").write_bytes(b"\n".join(json.dumps(one).encode() for one in some))


def _each(folder: Path, source: str, lines: Lines, count: int) -> float:
    """Seconds a plate of a whole run, without those that a run of a single plate takes."""
    return (_run(folder, source, lines) - _run(folder, f"one{Path(source).suffix}", lines)) / (count - 1)


def _run(folder: Path, source: str, lines: Lines) -> float:
    suffix = Path(source).suffix
    job = Job(folder / source, folder / f"out{suffix}", folder / "bad.ndjson", lines)
    began = time.perf_counter()
    totals = run(job, 1, restart=True)
    assert totals.priced == totals.rows
    return time.perf_counter() - began


if __name__ == "__main__":
    for line in report():
        print(line, flush=True)
