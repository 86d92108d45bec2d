"""`tallyplate plugin new`: a package that formats, type-checks, installs, prices and tests itself as it is written."""

import subprocess
import sys
from pathlib import Path

import pytest

import tallyplate
from tallyplate.cli.main import main
from tallyplate.scaffold import KINDS, LAID_OUT, LONGEST
from tests.cli.files import Told
from tests.thirdparty import on_path

SHORT, LONG = "t", "a_plate_with_a_long_name"
"""The ends of what names may be, where formatters would first lay a line out otherwise."""


def started(name: str, kind: str, into: Path) -> Path:
    """The folder of a newly written plugin."""
    assert main(["plugin", "new", name, "--kind", kind, "--into", str(into)]) == 0
    return into / f"tallyplate-{name.replace('_', '-')}"


@pytest.mark.parametrize("kind", KINDS)
def test_every_file_is_named_and_so_is_what_comes_next(tmp_path: Path, capsys: Told, kind: str) -> None:
    folder = started("drip_tray", kind, tmp_path)
    *files, after = capsys.readouterr().out.splitlines()
    assert {Path(file) for file in files} == {file for file in folder.rglob("*") if file.is_file()}
    assert len(files) == len(LAID_OUT[kind])
    assert after == f"next: pip install --editable {folder}"
    assert not [file for file in files if "$" in Path(file).read_text()], "a word was not filled in"


def test_the_current_folder_is_where_it_goes_unless_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Told
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["plugin", "new", "tray", "--kind", "family"]) == 0
    assert (tmp_path / "tallyplate-tray" / "pyproject.toml").is_file()


def test_it_is_laid_out_as_the_formatter_would_and_has_no_fault_that_the_linter_sees(tmp_path: Path) -> None:
    assert len(LONG) == LONGEST
    for name in (SHORT, LONG):
        for kind in KINDS:
            started(name, kind, tmp_path / kind)
    select = "A,ANN,ARG,B,C4,D1,E,F,I,N,PL,PT,PTH,RET,RUF,SIM,TRY,UP,W"
    # A module is given all that any module reads, and a test's name says what it shows.
    ignore = "ARG001,D100,D103,PLR2004,TRY003"
    for command in (["format", "--check"], ["check", "--select", select, "--ignore", ignore]):
        ruff = [sys.executable, "-m", "ruff", *command, "--isolated", "--no-cache", str(tmp_path)]
        done = subprocess.run(ruff, capture_output=True, text=True, check=False, timeout=60)
        assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.slow
def test_a_strict_type_checker_has_nothing_to_say(tmp_path: Path) -> None:
    family, module = started("tray", "family", tmp_path), started("drip_ring", "cost", tmp_path)
    places = [str(folder / part) for folder in (family, module) for part in ("src", "tests")]
    # Takes the place of our own settings. What the kit is made with says nothing of a plugin's types.
    (tmp_path / "mypy.ini").write_text("[mypy-hypothesis.*,litestar.*,pint.*,rich.*]\nfollow_imports = skip\n")
    mypy = [sys.executable, "-m", "mypy", "--strict", "--cache-dir", str(tmp_path / "cache"), *places]
    done = subprocess.run(mypy, cwd=tmp_path, capture_output=True, text=True, check=False, timeout=120)
    assert done.returncode == 0, done.stdout + done.stderr


def test_a_new_family_is_priced_by_every_module(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    on_path.put(started("tray", "family", tmp_path), tmp_path / "path", monkeypatch)
    here = tallyplate.load()
    answer = here.price({"plate": {"family": "tray", "side": "400 mm", "material": "al-6061-t6"}})
    assert here.families["tray"].title == "Tray plate"
    assert {"stock", "squaring", "holes", "inserts", "marking", "margin"} <= {line.module for line in answer.lines}
    assert answer.versions.plugins["tallyplate-tray"] == "0.1.0"


def test_a_new_module_prices_a_plate_of_every_family(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    on_path.put(started("drip_ring", "cost", tmp_path), tmp_path / "path", monkeypatch)
    here = tallyplate.load()
    plates = [
        {"family": "rectangular", "length": "400 mm", "width": "300 mm", "material": "al-6061-t6"},
        {"family": "round", "diameter": "400 mm", "material": "steel-1018"},
    ]
    for plate in plates:
        lines = [line for line in here.price({"plate": plate, "quantity": 2}).lines if line.module == "drip_ring"]
        # 2 x 4.50 USD, and 2 x 90 s at the bench's 52 USD/h.
        assert [(line.item, line.amount) for line in lines] == [("drip ring", "9.00"), ("fitting drip ring", "2.60")]


@pytest.mark.parametrize(
    "name",
    ["", "Tray", "1tray", "tray-2", "a__b", "_a", "a_", "tray.x", "tray/../x", "plätte", "tray\n", "a" * (LONGEST + 1)],
)
def test_a_name_that_cannot_stand_everywhere_is_refused_with_what_can(tmp_path: Path, capsys: Told, name: str) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["plugin", "new", "--kind", "cost", "--into", str(tmp_path), "--", name])
    assert ended.value.code == 2
    told = capsys.readouterr().err
    assert "is no name for a plugin; accepted: at most 24 small letters, digits" in told
    assert repr(name) in told
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(
    ("name", "reason"),
    [
        ("stock", "'stock' is the name of an installed plugin, of tallyplate"),
        ("round", "'round' is the name of an installed plugin, of tallyplate"),
        ("usual", "'usual' is a key that every rate card or all shop data state"),
        ("work_centers", "'work_centers' is a key that every rate card or all shop data state"),
        ("inherits", "'inherits' is a key that every rate card or all shop data state"),
    ],
)
@pytest.mark.parametrize("kind", KINDS)
def test_a_name_that_is_taken_is_refused(tmp_path: Path, capsys: Told, kind: str, name: str, reason: str) -> None:
    assert main(["plugin", "new", name, "--kind", kind, "--into", str(tmp_path)]) == 1
    assert capsys.readouterr().err == f"{reason}; accepted: another name\n"
    assert not list(tmp_path.iterdir())


def test_a_folder_that_is_there_is_left_as_it_is(tmp_path: Path, capsys: Told) -> None:
    (tmp_path / "tallyplate-tray").mkdir()
    assert main(["plugin", "new", "tray", "--kind", "family", "--into", str(tmp_path)]) == 1
    assert capsys.readouterr().err == f"{tmp_path / 'tallyplate-tray'}: File exists\n"
    assert not list((tmp_path / "tallyplate-tray").iterdir())
