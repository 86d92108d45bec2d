"""`cards schema`, `show`, `export` and `import`, as finance uses them on a folder of files."""

import json
import os
import re
import stat
import subprocess
import sys
import tracemalloc
from datetime import UTC, datetime
from io import StringIO
from pathlib import Path

import openpyxl
import pytest

from tallyplate.cli.main import main
from tests.plates import installation
from tests.rates.folder import CARD, SHOP
from tests.rates.sheets import edited, loaded, put
from tests.rates.test_sheet import HEIR

Captured = pytest.CaptureFixture[str]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The demonstration's card, and one from July on that inherits from it."""
    cards = tmp_path / "rate_cards"
    cards.mkdir()
    (cards / "2026-01.toml").write_bytes(CARD.read_bytes())
    (cards / "2026-07.toml").write_text(HEIR)
    return cards


def told(capsys: Captured, *arguments: object) -> str:
    """What a command prints that succeeds."""
    assert main([str(argument) for argument in arguments]) == 0
    printed = capsys.readouterr()
    assert printed.err == ""
    return printed.out


def refused(capsys: Captured, *arguments: object) -> str:
    """What a command says that fails."""
    assert main([str(argument) for argument in arguments]) == 1
    printed = capsys.readouterr()
    assert printed.out == ""
    return printed.err


@pytest.mark.parametrize(("options", "good", "bad"), [((), CARD, SHOP), (("--kind", "shop-data"), SHOP, CARD)])
def test_a_schema_checks_files_as_other_programs_do(
    tmp_path: Path, capsys: Captured, options: tuple[str, ...], good: Path, bad: Path
) -> None:
    out = tmp_path / "schema.json"
    assert told(capsys, "cards", "schema", *options, "--out", out) == ""
    assert json.loads(told(capsys, "cards", "schema", *options)) == json.loads(out.read_text())
    assert out.read_text().endswith("}\n")
    check = [str(Path(sys.executable).parent / "check-jsonschema"), "--schemafile", str(out)]
    for file, code in ((good, 0), (bad, 1)):
        done = subprocess.run([*check, str(file)], capture_output=True, text=True, check=False, timeout=60)
        assert done.returncode == code, done.stdout


def test_a_card_is_shown_with_every_figure_its_unit_where_it_is_stated_and_the_digest(capsys: Captured) -> None:
    shown = told(capsys, "cards", "show", "--as-of", "2026-03-02")
    card = installation().cards[0]
    assert shown.startswith("harrow-pell-2026-01, in force from 2026-01-01 (rate_cards/2026-01.toml)\n")
    assert shown.endswith(f"digest {card.digest}\n")
    assert re.search(r"^work_centers +saw +58 +USD/h +rate_cards/2026-01\.toml:11 *$", shown, re.MULTILINE)
    assert re.search(r"^ +precision plate +9\.40 +USD/kg +rate_cards/2026-01\.toml:22 *$", shown, re.MULTILINE)
    assert re.search(
        r"^inserts\.bushing\.M12\.breaks\[2\] +from +51 +rate_cards/2026-01\.toml:36 *$", shown, re.MULTILINE
    )
    figures = re.findall(r'"([0-9.]+) (USD[^"]*|%)"', CARD.read_text())
    assert len(figures) > 80
    for figure, unit in figures:
        assert re.search(rf" {re.escape(figure)} +{re.escape(unit)} ", shown)


@pytest.mark.parametrize("as_option", [True, False])
def test_an_inherited_figure_is_shown_with_the_card_and_the_line_that_state_it(
    folder: Path, capsys: Captured, as_option: bool
) -> None:
    where = ("cards", "show", "--folder", folder) if as_option else ("--data", folder.parent, "cards", "show")
    shown = told(capsys, *where, "--as-of", "2026-07-01")
    assert shown.startswith("heir, in force from 2026-07-01 (rate_cards/2026-07.toml)\n")
    assert re.search(r" mill +99\.50 +USD/h +rate_cards/2026-07\.toml:8 *$", shown, re.MULTILINE)
    inherited = r" saw +58 +USD/h +rate_cards/2026-01\.toml:11, inherited from harrow-pell-2026-01 *$"
    assert re.search(inherited, shown, re.MULTILINE)


def test_the_card_of_today_is_shown_where_no_date_is_given(folder: Path, capsys: Captured) -> None:
    # Far enough from any change of year that the time zone does not matter.
    year = datetime.now(UTC).year
    (folder / "2026-07.toml").write_text(HEIR.replace("2026-07-01", f"{year + 2}-07-01"))
    assert told(capsys, "cards", "show", "--folder", folder.parent).startswith("harrow-pell-2026-01, ")


def test_a_narrow_terminal_folds_and_cuts_nothing_off(monkeypatch: pytest.MonkeyPatch, capsys: Captured) -> None:
    terminal = StringIO()
    monkeypatch.setattr(terminal, "isatty", lambda: True)
    monkeypatch.setattr(sys, "stdout", terminal)
    monkeypatch.setenv("COLUMNS", "60")
    monkeypatch.setenv("TERM", "xterm")
    assert main(["cards", "show"]) == 0
    *lines, digest = re.sub(r"\x1b\[[0-9;]*m", "", terminal.getvalue()).splitlines()
    assert max(map(len, lines)) <= 60
    assert digest == f"digest {installation().cards[0].digest}"
    assert "…" not in terminal.getvalue()


def test_a_date_before_the_first_card_is_refused_with_the_first_date(capsys: Captured) -> None:
    assert refused(capsys, "cards", "show", "--as-of", "2025-12-31") == (
        "/as_of: no rate_card was in force on 2025-12-31; accepted: from 2026-01-01 on\n".replace(
            "rate_card", "rate card"
        )
    )


@pytest.mark.parametrize(
    "arguments",
    [
        ["show", "--as-of", "July"],
        ["export"],
        ["export", "a.xlsx", "--as-of", "2026-13-01"],
        ["import", "a.xlsx"],
        ["schema", "--kind", "card"],
    ],
)
def test_a_wrong_call_ends_with_two_and_shows_how(arguments: list[str], capsys: Captured) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["cards", *arguments])
    assert ended.value.code == 2
    told_how = capsys.readouterr().err
    assert "usage: tallyplate cards" in told_how
    if "--as-of" in arguments:
        assert f"argument --as-of: '{arguments[-1]}' is not a date, such as 2026-07-01" in told_how


@pytest.mark.parametrize("day", ["2026-03-02", "2026-07-01"])
def test_a_card_goes_out_and_comes_back_with_its_digest(folder: Path, capsys: Captured, day: str) -> None:
    sheet, back = folder.parent / "card.xlsx", folder.parent / "card.toml"
    out = told(capsys, "cards", "export", sheet, "--folder", folder, "--as-of", day)
    came = told(capsys, "cards", "import", sheet, back)
    card = loaded(CARD.read_text(), *([HEIR] if day == "2026-07-01" else []))
    assert out == f"{sheet}: {card.id}, digest {card.digest}\n"
    assert came == f"{back}: {card.id}, digest {card.digest}\n"
    assert loaded(back.read_text()).digest == card.digest
    # The card that came back takes the place of the one that went out.
    (folder / f"{day[:7].replace('03', '01')}.toml").write_bytes(back.read_bytes())
    assert told(capsys, "cards", "show", "--folder", folder, "--as-of", day).endswith(f"digest {card.digest}\n")


def test_an_edited_sheet_makes_the_card_of_the_next_date(folder: Path, capsys: Captured) -> None:
    sheet = folder.parent / "card.xlsx"
    told(capsys, "cards", "export", sheet, "--folder", folder, "--as-of", "2026-03-02")
    content = sheet.read_bytes()
    for section, key, figure in (("", "id", "next"), ("", "effective_from", "2027-01-01"), ("packing", "wrap", 6.4)):
        content = edited(content, put(section, key, figure=figure))
    sheet.write_bytes(content)
    told(capsys, "cards", "import", sheet, folder / "2027-01.toml")
    shown = told(capsys, "cards", "show", "--folder", folder, "--as-of", "2027-01-01")
    assert shown.startswith("next, in force from 2027-01-01 (rate_cards/2027-01.toml)\n")
    assert re.search(r"packing +wrap +6\.40 +USD/m2 ", shown)


def test_a_sheet_with_mistakes_is_told_and_leaves_the_card_as_it_was(folder: Path, capsys: Captured) -> None:
    sheet, card = folder.parent / "card.xlsx", folder / "2026-01.toml"
    told(capsys, "cards", "export", sheet, "--folder", folder, "--as-of", "2026-03-02")
    wrong = edited(sheet.read_bytes(), put("packing", "wrap", unit="USD/acre"))
    sheet.write_bytes(edited(wrong, put("minimum", "order", figure="=1")))
    said = refused(capsys, "cards", "import", sheet, card).splitlines()
    assert [re.sub(r"row \d+", "row N", line)[:46] for line in said] == [
        "card.xlsx: row N, column unit: '5.80 USD/acre'",
        "card.xlsx: row N, column figure: found the for",
    ]
    assert card.read_bytes() == CARD.read_bytes()
    assert sorted(path.name for path in folder.iterdir()) == ["2026-01.toml", "2026-07.toml"]


def test_a_workbook_that_is_too_large_is_not_read_whole(tmp_path: Path, capsys: Captured) -> None:
    sheet = tmp_path / "card.xlsx"
    with sheet.open("wb") as file:
        file.truncate(10**9)
    tracemalloc.start()
    assert "is too large" in refused(capsys, "cards", "import", sheet, tmp_path / "card.toml")
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert most < 10**8


@pytest.mark.parametrize(
    "arguments",
    [
        ["import", "absent.xlsx", "card.toml"],
        ["export", "absent/card.xlsx"],
        ["schema", "--out", "absent/schema.json"],
        ["show", "--folder", "absent"],
        ["schema", "--out", "."],
    ],
)
def test_what_cannot_be_read_or_written_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured, arguments: list[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    (name,) = [argument for argument in arguments if "absent" in argument or argument == "."]
    assert refused(capsys, "cards", *arguments).startswith(f"{name}: ")
    assert list(tmp_path.iterdir()) == []


def test_a_card_that_is_a_link_stays_one_and_a_device_is_written_to(tmp_path: Path, capsys: Captured) -> None:
    target, link, pipe = tmp_path / "target.json", tmp_path / "link.json", tmp_path / "pipe"
    target.write_text("old")
    link.symlink_to(target)
    told(capsys, "cards", "schema", "--out", link)
    assert link.is_symlink()
    assert json.loads(target.read_text())["title"] == "Rate card"
    os.mkfifo(pipe)
    reading = os.open(pipe, os.O_RDONLY | os.O_NONBLOCK)
    told(capsys, "cards", "schema", "--out", pipe)
    assert os.read(reading, 10).startswith(b"{")
    os.close(reading)
    assert stat.S_ISFIFO(pipe.stat().st_mode)


def test_the_demonstration_goes_out_where_no_folder_is_given(tmp_path: Path, capsys: Captured) -> None:
    told(capsys, "cards", "export", tmp_path / "card.xlsx")
    assert openpyxl.load_workbook(tmp_path / "card.xlsx").sheetnames == ["Rate card"]
