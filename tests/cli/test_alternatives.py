"""`tallyplate alternatives`: a table that can be read aloud, and the same as JSON."""

import json
from decimal import Decimal
from pathlib import Path

import pytest

from tallyplate.cli.main import main
from tests.cli.files import Told, written
from tests.plates import EXAMPLES, request
from tests.tradeoffs.alternatives import found

PLATE = str(EXAMPLES / "plate.json")
FREE = ["--may-change", "/plate/finish", "--may-change", "/plate/pattern/pitch"]
ASKED = request({"/budget": "4000.00 USD", "/may_change": ["/plate/finish", "/plate/pattern/pitch"]})


def test_each_alternative_has_a_row_with_its_sentence(capsys: Told, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "240")
    assert main(["alternatives", PLATE, "--budget", "4000.00 USD", *FREE]) == 0
    answer = found(ASKED)
    heading, names, first, *rows = capsys.readouterr().out.splitlines()
    present = f"{float(answer['present']['total']):,.2f} USD for 2 plates as asked for"
    alternatives = answer["alternatives"]
    assert heading == (
        f"{present}; {answer['possible']} of {answer['examined']} combinations can be made, "
        f"{len(alternatives)} are worth looking at within 4,000.00 USD:"
    )
    assert names.split()[:5] == ["total", "difference", "positions", "tolerance", "stiffness"]
    assert "As asked for." in first
    for row, one in zip(rows, alternatives, strict=False):
        assert row.split()[0] == f"{Decimal(one['total']):,}"
        assert row.strip().endswith(one["sentence"])


def test_many_alternatives_are_shown_from_the_cheapest_to_the_dearest(
    capsys: Told, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "240")
    assert main(["alternatives", PLATE, "--budget", "4000.00 USD", *FREE, "--most", "2"]) == 0
    out = capsys.readouterr().out
    alternatives = found(ASKED)["alternatives"]
    shown = [one for one in alternatives if one["sentence"] in out]
    assert shown == [alternatives[0], alternatives[-1]]
    assert f"{len(alternatives) - 2} more, of prices between these" in out


def test_where_nothing_fits_the_cheapest_is_shown_and_what_drives_it(
    capsys: Told, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "240")
    assert main(["alternatives", PLATE, "--budget", "40.00 USD", *FREE]) == 0
    out = capsys.readouterr().out
    nothing = found({**ASKED, "budget": "40.00 USD"})["nothing_fits"]
    assert nothing["sentence"] in out
    assert nothing["cheapest"]["sentence"] in out


def test_json_is_the_services_answer(capsys: Told, tmp_path: Path) -> None:
    assert main(["alternatives", written(tmp_path / "asked.json", json.dumps(ASKED)), "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == found(ASKED)


def test_a_request_without_a_budget_is_refused_by_field(capsys: Told) -> None:
    assert main(["alternatives", PLATE]) == 1
    assert capsys.readouterr().err.startswith("/budget: is required and missing")
