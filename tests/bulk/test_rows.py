"""Rows in = rows out + rows quarantined, whatever the rows are."""

import json
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallyplate.bulk import run
from tallyplate.bulk.shards import MAX_LINE
from tallyplate.installation import Installation, compose
from tests.bulk.inputs import BAD, GOOD, job, order, ran
from tests.misbehaving import module
from tests.plates import DATA, MINIMAL, installation, request

ROWS = st.lists(st.integers(0, 9).map(order) | st.sampled_from([*BAD, b"", b"  \t"]), max_size=30)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("rows")


@given(rows=ROWS, size=st.sampled_from([1, 300, 1000, 100_000]), last=st.sampled_from([b"", b"\n", b"\r\n"]))
def test_every_row_is_either_priced_or_quarantined_under_its_own_line(
    folder: Path, rows: list[bytes], size: int, last: bytes
) -> None:
    outputs = ran(folder, b"\n".join(rows) + last, size=size)
    wanted = {line: row for line, row in enumerate(rows, start=1) if row.strip()}
    good = {line for line, row in wanted.items() if row not in BAD}
    assert set(outputs.prices) == good
    assert [one["row"] for one in outputs.quarantined] == sorted(set(wanted) - good)
    assert all(one["problems"] for one in outputs.quarantined)
    assert outputs.target == b"".join(
        b'{"row":%d,"price":%b}\n' % (line, installation().price_json(wanted[line])) for line in sorted(good)
    )


def test_the_size_of_shards_changes_no_byte(tmp_path: Path) -> None:
    content = b"\n".join(BAD[number % 7] if number % 5 == 0 else order(number) for number in range(60))
    whole, *cut_up = (ran(tmp_path, content, size=size) for size in (10**6, 1, 500, 3000))
    for outputs in cut_up:
        assert (outputs.target, outputs.quarantine) == (whole.target, whole.quarantine)


def test_the_quarantine_says_where_why_and_what(tmp_path: Path) -> None:
    bad = json.dumps(request({"/quantity": 0, "/plate/length": 5})).encode()
    first, second = ran(tmp_path, GOOD + b"\n" + bad + b"\r\n\xffno\n").quarantined
    assert (first["row"], first["code"]) == (2, "invalid-request")
    assert {problem["pointer"] for problem in first["problems"]} == {"/quantity", "/plate/length"}
    assert first["text"] == bad.decode()
    assert (second["row"], second["code"], second["text"]) == (3, "unreadable", "\\xffno")


def test_a_line_too_long_is_quarantined_even_where_its_beginning_is_blank_or_good(tmp_path: Path) -> None:
    longest = GOOD.ljust(MAX_LINE - 1)
    content = b"\n".join([longest, b" " * (MAX_LINE + 1) + GOOD, GOOD.ljust(MAX_LINE) + b"x", GOOD])
    outputs = ran(tmp_path, content)
    assert set(outputs.prices) == {1, 4}
    assert [(one["row"], one["problems"][0]["message"][:26]) for one in outputs.quarantined] == [
        (2, "is longer than 65536 bytes"),
        (3, "is longer than 65536 bytes"),
    ]


def test_a_byte_order_mark_belongs_at_the_beginning_alone(tmp_path: Path) -> None:
    marked = b"\xef\xbb\xbf" + GOOD
    outputs = ran(tmp_path, b"\n".join([marked, marked, marked]), size=1)
    assert set(outputs.prices) == {1}


def test_an_empty_file_has_empty_outputs(tmp_path: Path) -> None:
    outputs = ran(tmp_path, b"")
    assert (outputs.target, outputs.quarantine) == (b"", b"")


def test_totals_by_module_are_those_of_all_lines(tmp_path: Path) -> None:
    made = job(tmp_path, b"\n".join([order(1), b"{", order(2), order(7)]))
    totals = run.run(made, size=1)
    charged: dict[str, Decimal] = {}
    for line in made.target.read_bytes().splitlines():
        for part in json.loads(line)["price"]["lines"]:
            charged[part["module"]] = charged.get(part["module"], Decimal()) + Decimal(part["amount"])
    assert totals.money == {"USD": charged}
    assert (totals.rows, totals.priced, totals.quarantined) == (4, 3, 1)


def test_a_row_that_states_no_date_is_priced_as_of_the_runs(tmp_path: Path) -> None:
    undated = json.dumps({"plate": MINIMAL["plate"]}).encode()
    outputs = ran(tmp_path, undated, today=date(2026, 5, 4))
    assert outputs.prices[1]["as_of"] == "2026-05-04"


def test_what_fails_while_pricing_costs_one_row_and_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail_on_seven(_: Any, asked: Any, *__: Any) -> Any:
        if asked.quantity == 7:
            message = "the drill broke"
            raise RuntimeError(message)
        return ()

    here = installation()
    painted = compose(here.families, {**here.modules, "paint": module(fail_on_seven)}, DATA)
    monkeypatch.setattr(run, "load", lambda _: painted)
    outputs = ran(tmp_path, b"\n".join(order(number) for number in range(10)))
    (refused,) = outputs.quarantined
    assert (refused["row"], refused["code"]) == (7, "plugin-failure")
    assert "'paint' failed: RuntimeError: the drill broke" in refused["problems"][0]["message"]


@pytest.mark.parametrize(("raised", "quarantined"), [(KeyError("x"), True), (OSError(5, "broken disk"), False)])
def test_only_what_a_row_is_to_blame_for_is_quarantined(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, raised: Exception, quarantined: bool
) -> None:
    def fail(*_: Any) -> Any:
        raise raised

    monkeypatch.setattr(Installation, "price", fail)
    if quarantined:
        (refused,) = ran(tmp_path, GOOD).quarantined
        assert (refused["code"], refused["problems"][0]["message"]) == ("internal-error", "KeyError: 'x'")
    else:
        with pytest.raises(OSError, match="broken disk"):
            ran(tmp_path, GOOD)
