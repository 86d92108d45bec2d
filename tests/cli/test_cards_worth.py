"""`tallyplate cards worth`, and the progress bar that it shares with `compare`."""

import io
import sys
from pathlib import Path
from xml.etree.ElementTree import fromstring

import pytest

from tallyplate.cli.main import main
from tests.cli.files import Told, orders_file, written
from tests.documents.drawing import texts
from tests.plates import EXAMPLES, MINIMAL, request
from tests.strategies import CARD
from tests.tradeoffs.cards import total

pytestmark = pytest.mark.slow


def test_worth_ranks_what_moves_the_price_with_its_unit_and_marks_steps(tmp_path: Path, capsys: Told) -> None:
    chart = tmp_path / "worth.svg"
    assert main(["cards", "worth", str(EXAMPLES / "plate.json"), "--svg", str(chart), "--top", "12"]) == 0
    told = capsys.readouterr()
    heading, names, *rows = told.out.splitlines()
    assert heading.startswith(f"1 order: 1 priced, 0 refused, {total(request()):,} USD; ")
    assert names.split()[:3] == ["in", "figure", "value"]
    assert rows[0].split() == ["shop", "cutting.bore_below", "0.03", "mm", "+36.04", "0.00", "0.783", "%", "step"]
    (mill,) = [row.split() for row in rows if "work_centers.mill" in row]
    assert mill[:4] == ["card", "work_centers.mill", "96.00", "USD/h"]
    said = texts(chart.read_text(encoding="utf-8"))
    assert "cutting.bore_below 0.03 mm, a step" in said
    assert len([text for text in said if " / " in text]) == 15


def test_worth_of_a_portfolio_counts_and_names_what_it_cannot_price(tmp_path: Path, capsys: Told) -> None:
    assert main(["cards", "worth", orders_file(tmp_path, MINIMAL, "{", {"plate": {}}, MINIMAL), "--top", "1"]) == 1
    told = capsys.readouterr()
    assert f"4 orders: 2 priced, 2 refused, {2 * total(MINIMAL):,} USD" in told.out
    assert [line.partition(":")[0] for line in told.err.splitlines()] == ["line 2", "line 3"]


def test_worth_of_no_orders_is_nothing(tmp_path: Path, capsys: Told) -> None:
    chart = tmp_path / "worth.svg"
    assert main(["cards", "worth", written(tmp_path / "none.csv", ""), "--svg", str(chart)]) == 0
    assert "0 orders: 0 priced, 0 refused, 0 USD; 0 figures move it" in capsys.readouterr().out
    assert fromstring(chart.read_text()) is not None  # noqa: S314 - it was made here


def test_worth_of_orders_that_are_not_there_names_the_file(capsys: Told) -> None:
    assert main(["cards", "worth", "absent.ndjson"]) == 1
    assert "absent.ndjson: " in capsys.readouterr().err


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize("command", ["compare", "worth"])
def test_progress_shows_on_a_terminals_standard_error_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Told, command: str
) -> None:
    orders = orders_file(tmp_path, MINIMAL)
    whole = (
        ["cards", command, orders] if command == "worth" else ["cards", "compare", CARD.id, CARD.id, "--orders", orders]
    )
    assert main(whole) == 0
    plain = capsys.readouterr()
    assert plain.err == ""
    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    assert main(whole) == 0
    assert "pricing" in terminal.getvalue()
    assert capsys.readouterr().out == plain.out
