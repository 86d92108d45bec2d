"""A bad plugin, installed as strangers install one, stops the start by name; the service never starts without it."""

import os
import subprocess
from pathlib import Path

import pytest

from tallyplate.cli import serving
from tallyplate.cli.main import main
from tallyplate.discovery import COSTS, FAMILIES
from tests.plugin_package import PAINT, install
from tests.serving import COMMAND


@pytest.fixture(autouse=True)
def _logging_stays_as_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(serving, "log_as_json", lambda **_: None)


OVAL = """
from tallyplate.contract import CONTRACT, Family, PlateSpec
from tallyplate_plugins.families.rectangular import build

class Oval(PlateSpec, frozen=True, forbid_unknown_fields=True, tag="oval"):
    pass

FAMILY = Family(contract=CONTRACT, title="Oval plate", spec=Oval, build=build)
"""

COATED = """
from msgspec import Struct
from tallyplate.contract import CONTRACT, Charge, CostModule, PerPiece, Stage

class Rates(Struct, frozen=True, forbid_unknown_fields=True):
    coat: PerPiece

def charges(build, order, shop, rates, earlier):
    yield Charge("a coat of paint", 1, rates.coat)

MODULE = CostModule(contract=CONTRACT, stage=Stage.MAKE, charges=charges, rates=Rates, example_rates=EXAMPLE)
"""
"""A cost module with a section of its own; `EXAMPLE` stands for the example of it."""


def coated(example: str) -> str:
    """The module with a text in the place of its example."""
    return COATED.replace("EXAMPLE", repr(example))


PAINTED = {COSTS: {"paint": "harrow_paint:MODULE"}}

BAD: dict[str, tuple[str, dict[str, dict[str, str]], str]] = {
    "it cannot be imported": ("import varnish", PAINTED, "No module named 'varnish'"),
    "it is no Python": ("def (", PAINTED, "SyntaxError"),
    "it raises where it is imported": ("1 / 0", PAINTED, "ZeroDivisionError: division by zero"),
    "it ends the program, as if all were well": ("raise SystemExit(0)", PAINTED, "SystemExit"),
    "it lacks what the contract requires": (PAINT.replace("contract=CONTRACT, ", ""), PAINTED, "'contract'"),
    "it wants a name that the contract has not": (
        PAINT.replace("PerPiece, ", "PerPiece, PerFurlong, "),
        PAINTED,
        "cannot import name 'PerFurlong'",
    ),
    "it is written to another contract": (
        PAINT.replace("contract=CONTRACT", "contract=CONTRACT + 1"),
        PAINTED,
        "is written to contract 2; this service speaks 1",
    ),
    "it has the name of a module of ours": (
        PAINT,
        {COSTS: {"stock": "harrow_paint:MODULE"}},
        "two plugins have this name; the other is",
    ),
    "it has the name of a family of ours": (
        OVAL.replace('"oval"', '"round"'),
        {FAMILIES: {"round": "harrow_paint:FAMILY"}},
        "two plugins have this name",
    ),
    "its spec goes by another name": (OVAL, {FAMILIES: {"egg": "harrow_paint:FAMILY"}}, "the tag 'oval'"),
}


@pytest.mark.parametrize(("source", "entries", "reason"), BAD.values(), ids=BAD)
def test_a_bad_plugin_ends_serve_and_is_named_with_its_distribution(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    source: str,
    entries: dict[str, dict[str, str]],
    reason: str,
) -> None:
    install(tmp_path, monkeypatch, source, entries)
    assert main(["serve"]) == 1
    told = capsys.readouterr().err
    ((name, _),) = next(iter(entries.values())).items()
    assert told.startswith(f"plugin {name!r} (")
    assert "harrow_paint" in told
    assert reason in told


SECTIONS = {
    "in another currency": (coated('[paint]\ncoat = "5 EUR/piece"\n'), "example of paint:2: paint.coat: '5 EUR/piece'"),
    "of another dimension": (coated('[paint]\ncoat = "5 USD/kg"\n'), "example of paint:2: paint.coat: '5 USD/kg'"),
    "that is negative": (coated('[paint]\ncoat = "-5 USD/piece"\n'), "example of paint:2: paint.coat: '-5 USD/piece'"),
    "that is no number": (coated('[paint]\ncoat = "nan USD/piece"\n'), "example of paint:2: paint.coat: 'nan USD"),
    "under another key": (coated('[paint]\nprice = "5 USD/piece"\n'), "example of paint:2: paint.price: unknown field"),
    "that is no TOML": (coated("[paint"), "example of paint: is not TOML"),
}


@pytest.mark.parametrize(("source", "reason"), SECTIONS.values(), ids=SECTIONS)
def test_an_example_that_does_not_fit_ends_serve_and_is_named_with_line_and_key(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], source: str, reason: str
) -> None:
    install(tmp_path, monkeypatch, source, PAINTED)
    assert main(["serve"]) == 1
    assert capsys.readouterr().err.startswith(reason)


def test_a_plugin_without_section_or_example_ends_serve_and_the_section_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    install(tmp_path, monkeypatch, coated(""), PAINTED)
    assert main(["serve"]) == 1
    assert "paint: this section is missing; it states coat" in capsys.readouterr().err


@pytest.mark.slow
@pytest.mark.parametrize("case", ["it raises where it is imported", "it ends the program, as if all were well"])
def test_a_service_of_its_own_does_not_start_beside_a_bad_plugin(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, case: str
) -> None:
    source, entries, reason = BAD[case]
    install(tmp_path, monkeypatch, source, entries)
    variables = {**os.environ, "PYTHONPATH": str(tmp_path)}
    command = [COMMAND, "serve", "--port", "0"]
    done = subprocess.run(command, env=variables, capture_output=True, text=True, timeout=60, check=False)
    assert done.returncode == 1
    assert reason in done.stderr
    assert "Traceback" not in done.stderr
