"""`tallyplate cards compare`, as finance runs it."""

import csv
import json
import re
import sys
from decimal import Decimal
from pathlib import Path

import openpyxl
import pytest

from tallyplate.cli.main import main
from tests.cli.files import Told, orders_file, written
from tests.documents.drawing import texts
from tests.plates import DATA, MINIMAL, request
from tests.rates.folder import write_data
from tests.strategies import CARD
from tests.tradeoffs.cards import IN_ORDER, card, total

DRAFT = f"""\
inherits = "{CARD.id}"
id = "next-year"
effective_from = 2027-01-01
[work_centers]
mill = "{{mill}}"
# end
"""
DEARER = card(work_centers__mill=2)


@pytest.fixture
def draft(tmp_path: Path) -> str:
    return written(tmp_path / "draft.toml", DRAFT.format(mill="192 USD/h"))


def _compare(*arguments: str) -> int:
    return main(["cards", "compare", *arguments])


def test_the_terminal_shows_totals_by_module_and_the_orders_that_move_most(
    tmp_path: Path, draft: str, capsys: Told
) -> None:
    orders = [request(), MINIMAL]
    assert _compare(CARD.id, draft, "--orders", orders_file(tmp_path, *orders)) == 0
    told = capsys.readouterr()
    old, new = (sum((total(order, one) for order in orders), Decimal()) for one in (CARD, DEARER))
    assert f"2 orders: 2 priced, 0 refused, USD, from {CARD.id} to {draft}" in told.out
    share = (new - old) / old * 100
    assert _row(told.out, "total") == [f"{old:,}", f"{new:,}", f"{new - old:+,}", f"{share:+.2f}"]
    assert _row(told.out, "packing")[2:] == ["0.00", "0.00"]
    assert _row(told.out, "1")[2] == f"{total(orders[0], DEARER) - total(orders[0]):+,}"
    assert told.err == ""


def _row(out: str, name: str) -> list[str]:
    """The figures of the first row of that name."""
    return next(line.split()[1:] for line in out.splitlines() if line.split()[:1] == [name])


def test_an_order_is_shown_line_by_line_and_its_differences_sum(tmp_path: Path, draft: str, capsys: Told) -> None:
    assert _compare(CARD.id, draft, "--orders", orders_file(tmp_path, MINIMAL, request()), "--order", "2") == 0
    _, _, shown = capsys.readouterr().out.partition("The order of line 2")
    *lines, whole = [
        [Decimal(figure.replace(",", "")) for figure in re.findall(r"(?<= )[+-]?[0-9,]+\.?[0-9]*(?= |$)", line)[-3:]]
        for line in shown.strip().splitlines()[1:]
    ]
    assert len(lines) > 20
    assert [sum(column) for column in zip(*lines, strict=True)] == whole
    assert whole[2] == total(request(), DEARER) - total(request())


def test_orders_that_cannot_be_priced_are_named_by_line_and_card_and_end_the_command_with_one(
    tmp_path: Path, draft: str, capsys: Told
) -> None:
    bad = request({"/plate/material": "cheese", "/plate/length": "long"})
    orders = orders_file(tmp_path, MINIMAL, '{"plate": ', bad, "", MINIMAL)
    assert _compare(CARD.id, draft, "--orders", orders) == 1
    told = capsys.readouterr()
    assert "4 orders: 2 priced, 2 refused" in told.out
    refused = told.err.splitlines()
    assert refused[0].startswith("line 2: is not JSON")
    assert refused[1].startswith("line 3: /plate/length: ")
    assert refused[1].endswith(f"(under {CARD.id})")
    assert len(refused) == 2


def test_texts_of_strangers_are_neither_markup_nor_control_characters(tmp_path: Path, draft: str, capsys: Told) -> None:
    strange = {**MINIMAL, "[bold]\x1b[31m": 1}
    assert _compare(CARD.id, draft, "--orders", orders_file(tmp_path, strange)) == 1
    told = capsys.readouterr()
    assert "/[bold][31m: unknown field" in told.err
    assert "\x1b" not in told.out + told.err


def test_titles_of_the_shop_are_shown_as_they_are_written(tmp_path: Path, capsys: Told) -> None:
    write_data(tmp_path, shop={"materials": {"al-6061-t6": {"title": "[red]6061[/red] \x9b"}}})
    compare = ["cards", "compare", CARD.id, CARD.id, "--orders", orders_file(tmp_path, MINIMAL), "--order", "1"]
    assert main(["--data", str(tmp_path), *compare]) == 0
    assert re.search(r"\[red\]6061\[/red\] ?, plate +[0-9]", capsys.readouterr().out)


def test_the_csv_has_a_row_for_each_order_and_sums_to_the_totals(tmp_path: Path, draft: str) -> None:
    orders = orders_file(tmp_path, MINIMAL, "not json", request(), request({"/plate/material": "=cheese"}))
    assert _compare(CARD.id, draft, "--orders", orders, "--csv", str(tmp_path / "out.csv")) == 1
    with (tmp_path / "out.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert list(rows[0]) == ["line", "old", "new", "difference", "%", *IN_ORDER, "refused"]
    assert [row["line"] for row in rows] == ["1", "2", "3", "4"]
    assert [bool(row["refused"]) for row in rows] == [False, True, False, True]
    for row, order in ((rows[0], MINIMAL), (rows[2], request())):
        assert Decimal(row["difference"]) == total(order, DEARER) - total(order)
        assert sum(Decimal(row[name] or 0) for name in IN_ORDER) == Decimal(row["difference"])


def test_the_xlsx_has_modules_orders_and_lines_with_figures_that_add_up(tmp_path: Path, draft: str) -> None:
    orders = orders_file(tmp_path, MINIMAL, request())
    assert _compare(CARD.id, draft, "--orders", orders, "--xlsx", str(tmp_path / "out.xlsx")) == 0
    book = openpyxl.load_workbook(tmp_path / "out.xlsx")
    assert book.sheetnames == ["modules", "orders", "lines"]
    *modules, whole = [[cell.value for cell in row] for row in book["modules"].iter_rows(min_row=2)]
    assert whole[0] == "total"
    assert sum(row[3] for row in modules) == pytest.approx(whole[3])
    assert sum(row[3].value for row in book["orders"].iter_rows(min_row=2)) == pytest.approx(whole[3])
    assert sum(row[5].value for row in book["lines"].iter_rows(min_row=2)) == pytest.approx(whole[3])
    assert {row[0].value for row in book["lines"].iter_rows(min_row=2)} == {1, 2}


def test_the_chart_goes_from_the_old_total_to_the_new(tmp_path: Path, draft: str) -> None:
    orders = orders_file(tmp_path, request())
    assert _compare(CARD.id, draft, "--orders", orders, "--svg", str(tmp_path / "out.svg")) == 0
    said = texts((tmp_path / "out.svg").read_text(encoding="utf-8"))
    for expected in (CARD.id, f"{total(request()):,}", "holes", "draft.toml", f"{total(request(), DEARER):,}"):
        assert expected in said
    assert "packing" not in said


def test_a_table_a_document_and_lines_of_the_same_order_are_told_alike(
    tmp_path: Path, draft: str, capsys: Told
) -> None:
    plate = MINIMAL["plate"]
    header = ",".join([*(f"plate.{name}" for name in plate), "as_of", "quantity"])
    row = ",".join([*plate.values(), MINIMAL["as_of"], "3"])
    order = {**MINIMAL, "quantity": 3}
    files = (
        written(tmp_path / "orders.csv", f"{header}\n{row}\n"),
        written(tmp_path / "orders.json", json.dumps(order, indent=2)),
        orders_file(tmp_path, order),
    )
    told = []
    for file in files:
        assert _compare(CARD.id, draft, "--orders", file) == 0
        modules, _, _ = capsys.readouterr().out.partition("Orders that move most")
        told.append(modules)
    assert told[0] == told[1] == told[2]


def test_two_ids_and_two_files_can_be_compared_and_a_card_moves_nothing_against_itself(
    tmp_path: Path, draft: str, capsys: Told
) -> None:
    orders = orders_file(tmp_path, MINIMAL)
    for one in (CARD.id, draft):
        assert _compare(one, one, "--orders", orders) == 0
        assert _row(capsys.readouterr().out, "total")[2:] == ["0.00", "0.00"]


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (DRAFT.format(mill="192 USD/kg"), "draft.toml:5: work_centers.mill: "),
        (DRAFT.format(mill="1").replace(CARD.id, "gone"), "draft.toml:1: inherits: 'gone' is not here"),
        ("id = ", "draft.toml: is not TOML"),
        (None, "draft.toml: is neither a card's id nor a file; cards here: "),
    ],
)
def test_a_card_that_cannot_be_used_is_refused_before_any_order_is_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Told, content: str | None, says: str
) -> None:
    monkeypatch.chdir(tmp_path)
    if content is not None:
        written(tmp_path / "draft.toml", content)
    assert _compare(CARD.id, "draft.toml", "--orders", "absent.ndjson") == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert says in told.err


def test_two_currencies_are_refused(tmp_path: Path, capsys: Told) -> None:
    whole = (DATA / "rate_cards" / "2026-01.toml").read_text(encoding="utf-8")
    euro = written(tmp_path / "euro.toml", whole.replace("USD", "EUR"))
    assert _compare(CARD.id, euro, "--orders", orders_file(tmp_path, MINIMAL)) == 1
    assert f"is in EUR, {CARD.id} in USD; accepted: one currency" in capsys.readouterr().err


def test_orders_that_are_not_there_are_named(capsys: Told) -> None:
    assert _compare(CARD.id, CARD.id, "--orders", "absent.ndjson") == 1
    assert "absent.ndjson: " in capsys.readouterr().err


def test_an_order_asked_for_that_is_not_there_is_said(tmp_path: Path, capsys: Told) -> None:
    assert _compare(CARD.id, CARD.id, "--orders", orders_file(tmp_path, MINIMAL), "--order", "9") == 1
    assert capsys.readouterr().err == "line 9: no order begins here\n"


def test_without_the_optional_part_xlsx_is_refused_before_any_work(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Told
) -> None:
    monkeypatch.setitem(sys.modules, "openpyxl", None)
    assert _compare(CARD.id, CARD.id, "--orders", "absent.ndjson", "--xlsx", str(tmp_path / "out.xlsx")) == 1
    assert "pip install tallyplate[sheets]" in capsys.readouterr().err


@pytest.mark.parametrize(
    "arguments", [["compare"], ["compare", "a", "b"], ["worth"], ["compare", "a", "--orders", "x"]]
)
def test_a_wrong_call_ends_with_two(arguments: list[str], capsys: Told) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["cards", *arguments])
    assert ended.value.code == 2
    assert "usage: tallyplate cards" in capsys.readouterr().err


def test_cards_are_those_of_the_folder_that_is_given(capsys: Told, tmp_path: Path) -> None:
    write_data(tmp_path, card={"id": "elsewhere"})
    orders = orders_file(tmp_path, MINIMAL)
    compare = ["cards", "compare", "elsewhere", "elsewhere", "--orders", orders]
    assert main(["--data", str(tmp_path), *compare]) == 0
    capsys.readouterr()
    assert main(compare) == 1
    assert f"cards here: {CARD.id}" in capsys.readouterr().err


def test_without_the_library_for_columns_the_same_is_told(
    tmp_path: Path, draft: str, capsys: Told, monkeypatch: pytest.MonkeyPatch
) -> None:
    orders = orders_file(tmp_path, *(request({"/plate/length": f"{length} mm"}) for length in range(600, 700, 10)))
    assert _compare(CARD.id, draft, "--orders", orders) == 0
    together = capsys.readouterr().out
    monkeypatch.setattr("tallyplate.cli.cards_compare.find_spec", lambda _: None)
    assert _compare(CARD.id, draft, "--orders", orders) == 0
    assert capsys.readouterr().out == together
