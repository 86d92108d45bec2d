"""`tallyplate read`: what was read with its words, what is unclear, what was not understood; and the same as JSON."""

import io
import json
from pathlib import Path
from types import SimpleNamespace

import pytest

from tallyplate.cli.main import main
from tests.cli.files import Told, written

NOTE = "Hi Maureen,\n24 by 16, inch and a half thick, alloy, need three by 1 June. Ring the bell.\n"


@pytest.fixture
def note(tmp_path: Path) -> str:
    return written(tmp_path / "note.txt", NOTE)


def test_three_tables_say_what_was_read_what_is_unclear_and_what_was_not_understood(
    note: str, capsys: Told, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "300")
    assert main(["read", note, "--as-of", "2026-03-02"]) == 0
    out = capsys.readouterr().out
    read, rest = out.split("Unclear:")
    unclear, left = rest.split("Not understood:")
    (thick,) = [line for line in read.splitlines() if "/plate/thickness" in line]
    assert thick.split("  ")[0].strip() == "/plate/thickness"
    assert "1 1/2 in" in thick
    assert "inch and a half thick" in thick
    (length,) = [line for line in read.splitlines() if "/plate/length" in line]
    assert "24 by 16" in length
    assert "the plate's other lengths are in inches" in length
    assert "2026-06-01" in read
    assert "alloy" in unclear
    assert "al-6061-t6; al-7075-t6" in unclear
    assert [line.strip() for line in left.splitlines() if line.strip()] == ["words", "Maureen", "Ring the bell"]


def test_json_can_be_piped_into_the_next_command(note: str, capsys: Told, tmp_path: Path) -> None:
    assert main(["read", note, "--as-of", "2026-03-02", "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["request"]["need_by"] == "2026-06-01"
    request = answer["request"]["plate"] | {"material": "al-6061-t6"}
    whole = written(tmp_path / "request.json", json.dumps({"plate": request, "as_of": "2026-03-02"}))
    assert main(["price", whole]) == 0


def test_a_note_comes_from_standard_input(capsys: Told, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", SimpleNamespace(buffer=io.BytesIO(b"hello")))
    assert main(["read", "-"]) == 0
    assert capsys.readouterr().out.split("\n")[:3] == ["Read: nothing", "Unclear: nothing", "Not understood: nothing"]


@pytest.mark.parametrize(
    ("content", "options", "said"),
    [
        (b"\xff\xfe", [], "/note: is not UTF-8; accepted: text in UTF-8"),
        (b"2 off", ["--as-of", "soon"], "/as_of: "),
    ],
)
def test_what_cannot_be_read_is_refused_by_name(
    tmp_path: Path, capsys: Told, content: bytes, options: list[str], said: str
) -> None:
    file = tmp_path / "note.txt"
    file.write_bytes(content)
    assert main(["read", str(file), *options]) == 1
    assert capsys.readouterr().err.startswith(said)
