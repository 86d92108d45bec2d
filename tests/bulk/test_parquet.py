"""Parquet in and out: the same prices as from the same requests in NDJSON."""

import json
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pyarrow as pa
import pytest
from pyarrow import parquet

from tallyplate.bulk import parquet as ours
from tallyplate.bulk.run import run
from tallyplate.rates.files import DataError
from tests.bulk.inputs import job, order, ran
from tests.plates import MINIMAL, request

REQUESTS: list[dict[str, Any]] = [
    request(),
    MINIMAL,
    request({"/quantity": 3, "/plate/marking": {"edges": ["left", "top"]}}, MINIMAL),
    request({"/plate/material": "cheese"}),
]


def _parquet(folder: Path, rows: list[dict[str, Any]], **how: Any) -> bytes:
    path = folder / "made.parquet"
    parquet.write_table(pa.Table.from_pylist(rows), path, **how)
    return path.read_bytes()


def _read(content: bytes) -> pa.Table:
    return parquet.read_table(pa.BufferReader(content))


def _sorted(prices: dict[int, dict[str, Any]]) -> dict[int, dict[str, Any]]:
    """Prices whose assumptions do not stand in the order of the request's fields, which all rows of a file share."""
    return {
        row: {**price, "assumed": sorted(price["assumed"], key=lambda one: one["pointer"])}
        for row, price in prices.items()
    }


@pytest.mark.parametrize("row_group_size", [1, 100])
def test_nested_rows_are_requests_as_they_stand(tmp_path: Path, row_group_size: int) -> None:
    lines = b"\n".join(json.dumps(one).encode() for one in REQUESTS)
    from_lines = ran(tmp_path, lines)
    from_parquet = ran(tmp_path, _parquet(tmp_path, REQUESTS, row_group_size=row_group_size), "in.parquet")
    assert _sorted(from_parquet.prices) == _sorted(from_lines.prices)
    assert [one["problems"] for one in from_parquet.quarantined] == [one["problems"] for one in from_lines.quarantined]


def test_flat_columns_are_read_as_those_of_a_table(tmp_path: Path) -> None:
    rows = [
        {"plate.family": "rectangular", "plate.length": "10 in", "plate.width": "8 in", "quantity": quantity}
        | {"plate.material": material, "as_of": date(2026, 3, 2), "plate.pattern.bushings": bushings}
        for quantity, material, bushings in [(1, "al-6061-t6", None), (2, "al-6061-t6", False), (3, None, True)]
    ]
    blank = dict.fromkeys(rows[0])
    outputs = ran(tmp_path, _parquet(tmp_path, [rows[0], blank, *rows[1:], blank]), "in.parquet")
    wanted = ran(tmp_path, b"\n".join([json.dumps(MINIMAL).encode(), b"", order(1).replace(b"9 in", b"8 in")]))
    assert set(outputs.prices) == {1, 3}
    assert outputs.prices[1]["lines"] == wanted.prices[1]["lines"]
    assert outputs.prices[3]["quantity"] == 2
    assert outputs.prices[3]["total"] != wanted.prices[3]["total"], "a plate without bushings costs less"
    assert [(one["row"], one["problems"][0]["pointer"]) for one in outputs.quarantined] == [
        (2, "/plate"),
        (4, "/plate/material"),
        (5, "/plate"),
    ]


def test_a_cell_as_long_as_no_line_may_be_is_quarantined(tmp_path: Path) -> None:
    rows = [{"plate.family": "x" * length, "quantity": 1} for length in (5, 70_000, 200_000)]
    outputs = ran(tmp_path, _parquet(tmp_path, rows), "in.parquet")
    assert ["is longer than" in one["problems"][0]["message"] for one in outputs.quarantined] == [False, True, True]


def test_columns_that_are_no_paths_are_refused(tmp_path: Path) -> None:
    made = job(tmp_path, _parquet(tmp_path, [{"plate..length": "1 in"}]), "in.parquet")
    with pytest.raises(DataError, match=r"in\.parquet.*the column 'plate\.\.length' is no path"):
        run(made)


def test_what_comes_out_has_types_and_the_figures_of_the_json(tmp_path: Path) -> None:
    content = b"\n".join([order(1), b"{", order(7)])
    prices = ran(tmp_path, content).prices
    rows = _read(ran(tmp_path, content, target="out.parquet", size=1).target).to_pylist()
    assert [row["row"] for row in rows] == [1, 3]
    for row in rows:
        price = prices[row["row"]]
        assert (row["total"], row["ready_on"].isoformat()) == (Decimal(price["total"]), price["lead_time"]["ready_on"])
        for mine, line in zip(row["lines"], price["lines"], strict=True):
            assert mine["quantity"] * mine["rate"] - mine["amount"] <= Decimal("0.005")
            assert (mine["item"], mine["amount"]) == (line["item"], Decimal(line["amount"]))
        assert row["errors"] == sum(finding["severity"] == "error" for finding in price["findings"])


def test_flat_lines_come_out_as_the_nested_ones(tmp_path: Path) -> None:
    content = b"\n".join([order(1), order(7)])
    nested = _read(ran(tmp_path, content, target="out.parquet").target).to_pylist()
    flat = _read(ran(tmp_path, content, target="flat.parquet", lines="flat").target).to_pylist()
    names = nested[0]["lines"][0].keys()
    assert [{name: line[name] for name in names} for line in flat] == [line for row in nested for line in row["lines"]]


def test_several_shards_share_a_row_group_and_none_is_endless(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ours, "GROUP", 8)
    content = b"\n".join(map(order, range(20)))
    outputs = ran(tmp_path, content, target="out.parquet", size=500)
    file = parquet.ParquetFile(pa.BufferReader(outputs.target))
    counts = [file.metadata.row_group(group).num_rows for group in range(file.num_row_groups)]
    assert sum(counts) == 20
    assert all(8 <= count < 16 for count in counts[:-1])


def test_no_rows_leave_the_columns(tmp_path: Path) -> None:
    table = _read(ran(tmp_path, b"", target="out.parquet").target)
    assert table.num_rows == 0
    assert table.schema.field("total").type == pa.decimal128(38, 9)


def test_what_is_not_parquet_is_refused_with_its_name(tmp_path: Path) -> None:
    whole = _parquet(tmp_path, REQUESTS)
    for content in (b"PAR1 no", whole[:-20], whole[: len(whole) // 2] + b"PAR1"):
        made = job(tmp_path, content, "in.parquet")
        with pytest.raises(DataError, match=r"in\.parquet: is not Parquet"):
            run(made, restart=True)
        assert not made.target.exists()


def test_without_its_library_parquet_is_refused_before_any_work(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(ours, "find_spec", lambda _: None)
    made = job(tmp_path, order(1), target="out.parquet")
    with pytest.raises(DataError, match=r"pip install tallyplate\[bulk\]"):
        run(made)
    assert not made.folder.exists()
