"""The quote as flat lines: every amount that leads to what is payable, and nothing that a spreadsheet would run."""

import csv
from collections.abc import Callable
from decimal import Decimal
from io import StringIO

import pytest

from tallyplate.documents.quote_lines import quote_lines
from tallyplate.documents.streams import csv_pieces
from tallyplate.quoting import Quoted
from tests.documents.quote_examples import full, hostile
from tests.quote.quotes import made


def _rows(quoted: Quoted) -> list[dict[str, str]]:
    text = b"".join(csv_pieces(quote_lines(quoted.quote))).decode("utf-8-sig")
    return list(csv.DictReader(StringIO(text, newline="")))


@pytest.mark.parametrize("quoted", [made, full, hostile])
def test_the_amounts_of_all_lines_sum_to_what_is_payable(quoted: Callable[[], Quoted]) -> None:
    found = quoted()
    rows = _rows(found)
    assert sum(Decimal(row["amount"]) for row in rows) == Decimal(found.quote.payable)
    assert {row["currency"] for row in rows} == {"USD"}
    assert {row["quote"] for row in rows} == {found.quote.number}


def test_each_kind_of_line_is_told_apart_with_its_unit_code() -> None:
    rows = _rows(full())
    assert [row["line"] for row in rows] == [str(number) for number in range(1, len(rows) + 1)]
    assert {(row["kind"], row["unit_code"]) for row in rows} == {
        ("work", "H87"), ("adjustment", "C62"), ("freight", "C62"), ("tax", "C62"),
    }  # fmt: skip
    (discount, _) = [row for row in rows if row["kind"] == "adjustment"]
    assert (discount["item"], discount["basis"], discount["amount"]) == ("Frame agreement 2026", "3 %", "-138.13")


def test_no_text_is_taken_for_a_formula() -> None:
    rows = _rows(made({"reference": "=1+1", "customer": {"name": "@sum(a1)"}}))
    assert {row["reference"] for row in rows} == {"'=1+1"}
    assert {row["customer"] for row in rows} == {"'@sum(a1)"}
