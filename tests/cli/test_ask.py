"""`tallyplate ask`: questions that can be read out, the same as JSON, and refusals by field."""

import json
from pathlib import Path
from typing import Any, Final

import pytest

from tallyplate.cli.main import main
from tests.cli.files import Told, written
from tests.tradeoffs.questions import asked

ROUND: Final[dict[str, Any]] = {"family": "round", "diameter": "300 mm", "material": "al-5083"}
PART: Final = {"plate": ROUND, "as_of": "2026-03-02"}


@pytest.fixture
def part(tmp_path: Path) -> str:
    return written(tmp_path / "part.json", json.dumps(PART))


def test_questions_stand_in_order_with_their_answers_and_why_they_matter(
    part: str, capsys: Told, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "400")
    assert main(["ask", part]) == 0
    heading, names, *rows = capsys.readouterr().out.splitlines()
    answer = asked(PART)
    lowest, usual, highest = (f"{float(answer['price'][name]):,.2f}" for name in ("lowest", "usual", "highest"))
    assert heading == f"{lowest} to {highest} USD, {usual} as usual; {len(answer['open'])} questions open:"
    assert names.split() == ["question", "usual", "lowest", "highest"]
    asked_for = [row for row in rows if row[:1].isdigit()]
    assert len(asked_for) == len(answer["open"])
    for number, (row, one) in enumerate(zip(asked_for, answer["open"], strict=True), start=1):
        assert row.startswith(f"{number}. {one['question']} ")
    (thick,) = [place for place, row in enumerate(rows) if "How thick shall the finished plate be?" in row]
    assert rows[thick + 1].strip().startswith("A thick plate stays flat")
    assert rows[thick + 2].strip().startswith("answers: 20 mm; 25 mm;")
    assert rows[thick + 3].strip().startswith("not 20 mm: ")


def test_json_is_the_services_answer(part: str, capsys: Told) -> None:
    assert main(["ask", part, "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == asked(PART)


def test_with_nothing_open_the_price_is_all_that_is_said(tmp_path: Path, capsys: Told) -> None:
    said: dict[str, Any] = {"plate": dict(ROUND), "services": {}}
    whole: dict[str, object] = {"quantity": 1, "need_by": "2026-06-01", "budget": "9000.00 USD"}
    for one in asked(PART)["open"]:
        if one["pointer"].startswith(("/plate/", "/services/")):
            *parents, last = one["pointer"].split("/")[1:]
            place = said
            for step in parents:
                place = place.setdefault(step, {})
            place[last] = one["usual"]
    assert main(["ask", written(tmp_path / "whole.json", json.dumps(PART | whole | said))]) == 0
    out = capsys.readouterr().out
    assert out == f"{float(asked(PART)['price']['usual']):,.2f} USD; nothing is open.\n"


def test_what_cannot_become_a_plate_is_refused_by_field(tmp_path: Path, capsys: Told) -> None:
    assert main(["ask", written(tmp_path / "bad.json", '{"plate": {"length": 600}}')]) == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.startswith("/plate/length: 600 has no unit")
