"""Totals alone, many plates at once: the same totals, quarantine and money as with every line, from any input."""

import csv
import io
import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pyarrow as pa
import pytest
from pyarrow import parquet

from tallyplate import many
from tallyplate.bulk.job import Job
from tallyplate.bulk.run import run
from tallyplate.rates.files import DataError
from tests.bulk.inputs import BAD, job, ran
from tests.plates import request

GOOD = [
    request({"/plate/length": f"{length} mm", "/plate/material": material, "/quantity": quantity})
    for material in ("al-6061-t6", "steel-1018")
    for length in range(400, 1000, 40)
    for quantity in (1, 2, 10)
]
LINES = b"\n".join(
    [*(json.dumps(one).encode() for one in GOOD), *BAD, b"", *(json.dumps(one).encode() for one in GOOD)]
)
FIELDS = {
    "plate.family": "rectangular",
    "plate.width": "300 mm",
    "plate.material": "al-6061-t6",
    "plate.pattern.bushings": True,
    "plate.marking.edges.0": "left",
    "as_of": "2026-03-02",
}
FLAT: list[dict[str, Any]] = [
    *(
        {**FIELDS, "plate.length": f"{length} mm", "quantity": quantity}
        for length in range(400, 700, 20)
        for quantity in (1, 9)
    ),
    {**FIELDS, "plate.length": "", "quantity": 1},
    dict.fromkeys([*FIELDS, "plate.length", "quantity"]),
    {**FIELDS, "plate.length": " 500 mm ", "quantity": 0},
    {**FIELDS, "plate.length": '5"00\n mm', "quantity": 1},
    {**FIELDS, "plate.length": "20 in", "quantity": 3, "plate.pattern.bushings": None},
]


def _table(rows: list[dict[str, Any]], **how: Any) -> bytes:
    sink = pa.BufferOutputStream()
    parquet.write_table(pa.Table.from_pylist(rows), sink, **how)
    return sink.getvalue().to_pybytes()


def _csv(rows: list[dict[str, Any]]) -> bytes:
    text = io.StringIO()
    writer = csv.DictWriter(text, rows[0])
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue().encode()


def _both(folder: Path, content: bytes, source: str, size: int) -> dict[int, dict[str, Any]]:
    """The totals, held against those of the prices with all their lines."""
    whole = ran(folder, content, source, "whole.parquet", size=size)
    alone = ran(folder, content, source, "alone.parquet", lines="none", size=size)
    assert alone.quarantine == whole.quarantine
    nested, totals = (parquet.read_table(pa.BufferReader(made.target)).to_pylist() for made in (whole, alone))
    names = set(totals[0])
    assert totals == [{name: row[name] for name in row if name in names} for row in nested]
    return {row["row"]: row for row in totals}


@pytest.mark.parametrize("size", [2000, 10**7])
def test_totals_from_lines_are_those_of_whole_prices(tmp_path: Path, size: int) -> None:
    totals = _both(tmp_path, LINES, "in.ndjson", size)
    assert len(totals) == 2 * len(GOOD)
    assert totals[1]["total"] > 0


@pytest.mark.parametrize("size", [2000, 10**7])
@pytest.mark.parametrize("group", [7, 1000])
def test_totals_from_columns_are_those_of_whole_prices(tmp_path: Path, size: int, group: int) -> None:
    totals = _both(tmp_path, _table(FLAT, row_group_size=group), "in.parquet", size)
    assert len(totals) == len(FLAT) - 4


def test_totals_from_structures_and_from_tables_are_those_of_whole_prices(tmp_path: Path) -> None:
    _both(tmp_path, _table(GOOD), "nested.parquet", 10**7)
    _both(tmp_path, _csv(FLAT[:-2]), "in.csv", 10**7)


def test_every_format_says_the_same(tmp_path: Path) -> None:
    content = _table(FLAT)
    rows = [
        {name: str(value) for name, value in row.items()}
        for row in parquet.read_table(
            pa.BufferReader(ran(tmp_path, content, "in.parquet", "out.parquet", lines="none").target)
        ).to_pylist()
    ]
    table = ran(tmp_path, content, "in.parquet", "out.csv", lines="none").table
    records = [json.loads(line) for line in ran(tmp_path, content, "in.parquet", lines="none").target.splitlines()]
    figures = {"unit_price", "total"}
    for row, cells, record in zip(rows, table, records, strict=True):
        assert cells == {name: str(value) for name, value in record.items()}
        assert {name: row[name] for name in row if name not in figures} == {
            name: cell for name, cell in cells.items() if name not in figures
        }
        assert all(Decimal(row[name]) == Decimal(cells[name]) for name in figures)


def test_the_money_by_module_is_that_of_whole_prices(tmp_path: Path) -> None:
    content = _table(FLAT)

    def money(**how: Any) -> Any:
        made = job(tmp_path, content, "in.parquet", **how)
        return run(made, restart=True)

    assert money(lines="none") == money()


def test_the_bytes_are_the_same_whatever_the_number_of_workers(tmp_path: Path) -> None:
    outputs = []
    for workers in (1, 2):
        made = job(tmp_path, _table(FLAT), "in.parquet", lines="none")
        run(made, workers, restart=True, size=2500)
        outputs.append(made.target.read_bytes())
    assert outputs[0] == outputs[1]


def test_most_plates_are_priced_together(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    alone: list[int] = []
    priced = many.together

    def counted(*given: Any) -> Any:
        found, others = priced(*given)
        alone.append(len(others))
        return found, others

    monkeypatch.setattr("tallyplate.bulk.totals.together", counted)
    ran(tmp_path, _table(FLAT), "in.parquet", lines="none", size=10**7)
    assert sum(alone) < 10


@pytest.mark.parametrize(
    ("content", "what"),
    [(b"PAR1 is not enough", "is not Parquet"), (_table([{"plate..length": "1 mm"}]), "is no path")],
)
def test_what_is_no_table_of_requests_is_refused_before_any_is_priced(
    tmp_path: Path, content: bytes, what: str
) -> None:
    made = job(tmp_path, content, "in.parquet", lines="none")
    with pytest.raises(DataError, match=what):
        run(made)
    assert not made.target.exists()


def test_without_its_library_totals_alone_are_refused_by_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tallyplate.bulk.run.find_spec", lambda _: None)
    made: Job = job(tmp_path, b"{}", lines="none")
    with pytest.raises(DataError, match="numpy, which is not installed: pip install tallyplate\\[bulk\\]"):
        run(made)
