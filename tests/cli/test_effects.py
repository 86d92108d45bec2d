"""`tallyplate effects`: a table that can be read aloud, the same as JSON, and a curve as a chart."""

import json
from pathlib import Path

import pytest

from tallyplate.cli.main import main
from tests.cli.files import Told, written
from tests.documents.drawing import texts
from tests.plates import EXAMPLES, request
from tests.tradeoffs.effects import ROUND, found

PLATE = str(EXAMPLES / "plate.json")


def test_each_choice_stands_once_with_its_present_value_and_what_each_neighbour_costs(
    capsys: Told, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "160")
    assert main(["effects", PLATE]) == 0
    told = capsys.readouterr()
    answer = found(request())
    heading, names, *rows = told.out.splitlines()
    assert heading == f"{float(answer['total']):,.2f} USD for 2 plates; one answer changed at a time:"
    assert names.split() == ["choice", "now", "instead", "total", "difference"]
    (pitch,) = [row.split() for row in rows if row.startswith("Pitch ")]
    finer = next(one for one in answer["effects"] if one["neighbour"] == "30 mm")
    total, difference = (float(finer[name]) for name in ("total", "difference"))
    assert pitch == ["Pitch", "35", "mm", "finer,", "30", "mm", f"{total:,.2f}", f"{difference:+,.2f}"]
    assert sum(row.split("  ")[0] == "Material" for row in rows) == 1
    assert [row for row in rows if row.startswith("Bushings") and " yes*" in row]
    assert [row for row in rows if " tapped grid " in row and "without slot_width, without slot_spacing" in row]
    assert [row for row in rows if "Acetal" in row and "cannot be made: finish-material" in row]
    assert "* assumed, not said in the request" in told.out


def test_what_has_no_price_says_why(tmp_path: Path, capsys: Told, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "200")
    assert main(["effects", written(tmp_path / "round.json", json.dumps(ROUND))]) == 0
    (row,) = [row for row in capsys.readouterr().out.splitlines() if " separate " in row]
    assert "no price" in row
    assert "two lattices do not share the centre of a disc" in row


def test_json_is_the_services_answer(capsys: Told) -> None:
    assert main(["effects", PLATE, "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == found(request())


def test_a_curve_is_drawn_on_request(tmp_path: Path, capsys: Told) -> None:
    chart = tmp_path / "pitch.svg"
    assert main(["effects", PLATE, "--svg", str(chart), "--curve", "pitch"]) == 0
    assert "Pitch, mm" in texts(chart.read_text(encoding="utf-8"))
    assert capsys.readouterr().err == ""


def test_a_request_that_has_no_price_is_refused_by_field(tmp_path: Path, capsys: Told) -> None:
    bad = written(tmp_path / "bad.json", json.dumps(request({"/plate/length": 600})))
    assert main(["effects", bad]) == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.startswith("/plate/length: 600 has no unit")
