"""Inputs of bulk runs, and their outputs read back."""

import csv
import json
from pathlib import Path
from typing import Any

from tallyplate.bulk.job import Job
from tallyplate.bulk.run import run
from tests.plates import MINIMAL, request

GOOD = json.dumps(MINIMAL).encode()
BAD = (
    b"{",
    b"{}",
    b"7",
    b"\xff\xfe",
    b'{"a":1,"a":2}',
    json.dumps(request({"/plate/material": "cheese"})).encode(),
    json.dumps(request({"/quantity": 0}, MINIMAL)).encode(),
)

HEADER = b"plate.family,plate.length,plate.width,plate.material,quantity,as_of"


def order(number: int) -> bytes:
    """One of many good rows; a few plates in many quantities, so that they are priced quickly."""
    return json.dumps(request({"/quantity": 1 + number, "/plate/width": f"{8 + number % 5} in"}, MINIMAL)).encode()


def job(folder: Path, content: bytes, source: str = "in.ndjson", target: str = "out.ndjson", **how: Any) -> Job:
    """A job on a file with this content."""
    (folder / source).write_bytes(content)
    return Job(folder / source, folder / target, folder / "bad.ndjson", **how)


def ran(folder: Path, content: bytes, source: str = "in.ndjson", target: str = "out.ndjson", **how: Any) -> "Outputs":
    """The outputs of a run on such a file, made anew."""
    size = how.pop("size", 1024)
    made = job(folder, content, source, target, **how)
    totals = run(made, restart=True, size=size)
    outputs = Outputs(made)
    assert totals.rows == totals.priced + totals.quarantined
    assert totals.quarantined == len(outputs.quarantined)
    assert not made.folder.exists()
    return outputs


class Outputs:
    """What a run wrote."""

    def __init__(self, made: Job) -> None:
        self.target, self.quarantine = made.target.read_bytes(), made.quarantine.read_bytes()
        self.quarantined = [json.loads(line) for line in self.quarantine.splitlines()]

    @property
    def prices(self) -> dict[int, dict[str, Any]]:
        """The prices by row, of an output in NDJSON."""
        records = [json.loads(line) for line in self.target.splitlines()]
        assert [record["row"] for record in records] == sorted({record["row"] for record in records})
        return {record["row"]: record["price"] for record in records}

    @property
    def table(self) -> list[dict[str, str]]:
        """The rows of an output in CSV."""
        return list(csv.DictReader(self.target.decode("utf-8-sig").splitlines()))
