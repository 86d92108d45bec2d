"""`tallyplate bulk` as it is called."""

import json
import sys
from pathlib import Path

import pytest

from tallyplate.cli.main import main
from tests.cli.files import Told, orders_file
from tests.plates import MINIMAL, installation, request

PRICE = installation().price(MINIMAL)


def _bulk(*arguments: object) -> int:
    return main(["bulk", *map(str, arguments), "--workers", "1"])


def test_rows_without_a_price_stand_beside_the_output_and_in_the_exit_code(tmp_path: Path, capsys: Told) -> None:
    orders, out = orders_file(tmp_path, MINIMAL, "{"), tmp_path / "out.ndjson"
    assert _bulk(orders, out) == 3
    assert [json.loads(line)["row"] for line in out.read_bytes().splitlines()] == [1]
    quarantine = tmp_path / "out.ndjson.quarantine.ndjson"
    assert [json.loads(line)["row"] for line in quarantine.read_bytes().splitlines()] == [2]
    said = capsys.readouterr()
    assert "2 rows: 1 priced, 1 quarantined; USD" in said.out
    assert said.out.split()[-2:] == ["total", PRICE.total]
    assert said.err == f"1 rows without a price: {quarantine}\n"


def test_where_every_row_has_a_price_all_is_well(tmp_path: Path, capsys: Told) -> None:
    assert _bulk(orders_file(tmp_path, MINIMAL), tmp_path / "out.ndjson", "--json") == 0
    totals = json.loads(capsys.readouterr().out)
    assert (totals["rows"], totals["priced"], totals["quarantined"]) == (1, 1, 0)
    amounts = {line.module: "0" for line in PRICE.lines}
    assert totals["money"]["USD"].keys() == amounts.keys()


def test_a_table_has_a_row_a_line_unless_told_otherwise(tmp_path: Path, capsys: Told) -> None:
    orders = orders_file(tmp_path, MINIMAL)
    heads = {}
    for name, options in {"usual": (), "flat": ("--lines", "flat"), "nested": ("--lines", "nested")}.items():
        out = tmp_path / f"{name}.csv"
        assert _bulk(orders, out, *options) == 0
        heads[name] = out.read_text("utf-8-sig").partition(",quantity")[0]
    assert "1 rows: 1 priced" in capsys.readouterr().out
    assert heads["usual"] == heads["flat"] == "row,plates,currency,total,errors,as_of,module,item"
    assert heads["nested"] == "row"


def test_rows_that_state_no_date_take_the_one_that_is_given(tmp_path: Path) -> None:
    out = tmp_path / "out.ndjson"
    assert _bulk(orders_file(tmp_path, {"plate": MINIMAL["plate"]}), out, "--as-of", "2026-04-01") == 0
    assert json.loads(out.read_bytes())["price"]["as_of"] == "2026-04-01"


@pytest.mark.parametrize("wrong", [("--workers", "0"), ("--workers", "many"), ("--as-of", "soon"), ("--lines", "odd")])
def test_a_wrong_option_is_refused_before_anything_is_written(tmp_path: Path, capsys: Told, wrong: tuple[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["bulk", orders_file(tmp_path, MINIMAL), str(tmp_path / "out.ndjson"), *wrong])
    assert ended.value.code == 2
    said = capsys.readouterr().err
    assert all(part in said for part in wrong)
    assert len(list(tmp_path.iterdir())) == 1


def test_an_output_that_is_there_is_made_anew_only_when_asked(tmp_path: Path, capsys: Told) -> None:
    orders, out = orders_file(tmp_path, request()), tmp_path / "out.ndjson"
    out.write_text("of yesterday", "utf-8")
    assert _bulk(orders, out) == 1
    assert f"{out}: is there already; accepted: another name, or --restart" in capsys.readouterr().err
    assert _bulk(orders, out, "--restart") == 0
    assert json.loads(out.read_bytes())["row"] == 1


def test_somebody_who_watches_sees_how_far_it_is(tmp_path: Path, capsys: Told, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FORCE_COLOR", "1")
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    assert _bulk(orders_file(tmp_path, *[MINIMAL] * 5), tmp_path / "out.ndjson") == 0
    said = capsys.readouterr().err
    assert "pricing 5 of 5" in said
    assert "100%" in said
