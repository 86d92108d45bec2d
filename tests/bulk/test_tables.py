"""Tables in and out as CSV."""

import json
from decimal import Decimal
from pathlib import Path

import pytest

from tallyplate.bulk.run import run
from tallyplate.rates.files import DataError
from tests.bulk.inputs import GOOD, HEADER, job, order, ran
from tests.plates import installation

ROW = b"rectangular,10 in,8 in,al-6061-t6,1,2026-03-02"
PRICE = json.loads(installation().price_json(GOOD))


def _table(*rows: bytes, end: bytes = b"\r\n") -> bytes:
    return b"".join(row + end for row in (HEADER, *rows))


@pytest.mark.parametrize("size", [60, 10**6])
def test_rows_of_a_table_are_those_of_a_portfolio_in_whichever_shard_they_stand(tmp_path: Path, size: int) -> None:
    content = b"\xef\xbb\xbf\r\n" + _table(ROW, b"", b",,,,,", ROW, b"rectangular,10 in", ROW)
    outputs = ran(tmp_path, content, "in.csv", size=size)
    assert set(outputs.prices) == {3, 6, 8}
    assert {price["total"] for price in outputs.prices.values()} == {PRICE["total"]}
    (short,) = outputs.quarantined
    assert (short["row"], short["text"]) == (7, "rectangular,10 in")


def test_inches_are_quoted_as_csv_quotes_them(tmp_path: Path) -> None:
    quoted = b'"rectangular","10 in","8 in","al-6061-t6","1","2026-03-02"'
    doubled = ROW.replace(b"8 in", b'"8 """')
    outputs = ran(tmp_path, _table(quoted, doubled), "in.csv")
    assert outputs.prices[2]["total"] == PRICE["total"]
    assert "'8 \"'" in outputs.quarantined[0]["problems"][0]["message"]


def test_a_cell_over_several_lines_or_a_forgotten_quote_swallows_no_row_below(tmp_path: Path) -> None:
    outputs = ran(tmp_path, _table(ROW, b'"rectangular\n",10 in', ROW, b'rectangular,"10 in', ROW), "in.csv")
    assert set(outputs.prices) == {2, 5, 7}
    assert [one["row"] for one in outputs.quarantined] == [3, 4, 6]
    assert "quotes in pairs" in outputs.quarantined[2]["problems"][0]["message"]


def test_text_that_is_not_utf_8_is_quarantined_with_its_bytes(tmp_path: Path) -> None:
    (refused,) = ran(tmp_path, _table(ROW, ROW.replace(b"al", b"\xe4l")), "in.csv").quarantined
    assert refused["text"].startswith("rectangular,10 in,8 in,\\xe4l-6061")


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"plate.length,plate.length\n1 in,2 in\n", "in.csv:1: the column 'plate.length' stands twice"),
        (b"\n\nplate..length\n1 in\n", "in.csv:3: the column 'plate..length' is no path"),
        (b",\n" * 2000, "no header in its first"),
    ],
)
def test_a_header_that_names_no_columns_is_refused_before_any_row(tmp_path: Path, content: bytes, says: str) -> None:
    made = job(tmp_path, content, "in.csv")
    with pytest.raises(DataError, match=says):
        run(made, size=1024)
    assert not made.target.exists()
    made.source.write_bytes(_table(ROW))
    assert run(made).priced == 1


def test_an_empty_table_has_no_rows(tmp_path: Path) -> None:
    for content in (b"", b"\n", HEADER, HEADER + b"\n"):
        outputs = ran(tmp_path, content, "in.csv", "out.csv")
        assert outputs.table == []
        assert outputs.target.startswith(b"\xef\xbb\xbfrow,quantity,currency,")


def test_a_record_for_each_line_sums_to_the_total_of_its_row(tmp_path: Path) -> None:
    content = b"\n".join([order(1), b"{", order(2)])
    prices = ran(tmp_path, content).prices
    flat = ran(tmp_path, content, target="flat.csv", lines="flat").table
    assert {int(line["row"]) for line in flat} == {1, 3}
    for row, price in prices.items():
        mine = [line for line in flat if line["row"] == str(row)]
        assert [line["amount"] for line in mine] == [line["amount"] for line in price["lines"]]
        assert [line["work_center"] for line in mine] == [line.get("work_center", "") for line in price["lines"]]
        assert {line["total"] for line in mine} == {price["total"]}
        assert sum(Decimal(line["amount"]) for line in mine) == Decimal(price["total"])


def test_lines_say_the_same_flat_as_json_and_as_a_table(tmp_path: Path) -> None:
    content = b"\n".join([order(1), order(2)])
    table = ran(tmp_path, content, target="flat.csv", lines="flat").table
    lines = [json.loads(line) for line in ran(tmp_path, content, lines="flat").target.splitlines()]
    assert [{name: "" if value is None else str(value) for name, value in line.items()} for line in lines] == table


def test_a_nested_table_holds_its_lines_as_json(tmp_path: Path) -> None:
    (row,) = ran(tmp_path, GOOD, target="out.csv").table
    assert (row["total"], row["ready_on"]) == (PRICE["total"], PRICE["lead_time"]["ready_on"])
    assert [line["amount"] for line in json.loads(row["lines"])] == [line["amount"] for line in PRICE["lines"]]
    assert [one["code"] for one in json.loads(row["findings"])] == [one["code"] for one in PRICE["findings"]]
    assumed = {one["pointer"]: json.loads(one["value"]) for one in json.loads(row["assumed"])}
    assert assumed == {one["pointer"]: one["value"] for one in PRICE["assumed"]}
