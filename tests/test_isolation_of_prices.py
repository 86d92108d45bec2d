"""A plugin that goes wrong while it prices, installed as strangers install one: a clean problem, and never a total."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from structlog.testing import capture_logs

import tallyplate
from tallyplate.discovery import COSTS, FAMILIES
from tallyplate.http.app import create_app
from tests.http.problem import problem
from tests.plates import MINIMAL, installation, request
from tests.plugin_package import PAINT, install
from tests.serving import Ask, asking

CHARGE = 'Charge("a coat of paint", 1, PerPiece(500, 2))'


@pytest.fixture(autouse=True)
def _logged() -> Iterator[None]:
    """Keeps each failure's traceback from being drawn with all its variables."""
    with capture_logs():
        yield


def _ask(folder: Path, monkeypatch: pytest.MonkeyPatch, source: str, entries: dict[str, dict[str, str]]) -> Ask:
    install(folder, monkeypatch, source, entries)
    return asking(create_app(tallyplate.load()))


MODULES = {
    "it raises": "1 / 0",
    "it ends the program": "raise SystemExit(0)",
    "its quantity is no number": 'Charge("a coat of paint", float("nan"), PerPiece(500, 2))',
    "its quantity is infinite": 'Charge("a coat of paint", 1e400, PerPiece(500, 2))',
    "its line is negative": 'Charge("a discount", -1, PerPiece(500, 2))',
    "its line for the order is negative": 'Charge("a discount", 0, PerPiece(500, 2), per_order=-1)',
    "its lot is negative": 'Charge("a discount", 1, PerPiece(500, 2), lot=-1)',
    "its rate is negative": 'Charge("a discount", 1, PerPiece(-500, 2))',
    "its least is no sum": 'Charge("a coat of paint", 1, PerPiece(500, 2), at_least=5)',
    "its item is no text": "Charge(5, 1, PerPiece(500, 2))",
    "its rate is of another currency": 'Charge("a coat of paint", 1, PerPiece.read("5 EUR/piece", "EUR"))',
    "it charges time where there is none": 'Charge("a coat of paint", 1, work_center="spray")',
    "it refuses the plate": '__import__("tallyplate.contract").contract.refuse("/plate", "no")',
}


@pytest.mark.parametrize("says", MODULES.values(), ids=MODULES)
def test_a_cost_module_that_goes_wrong_makes_a_problem_that_names_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, says: str
) -> None:
    source = PAINT.replace(f"yield {CHARGE}", says if says.startswith("raise") else f"yield {says}")
    ask = _ask(tmp_path, monkeypatch, source, {COSTS: {"paint": "harrow_paint:MODULE"}})
    response = ask("POST", "/v1/prices", json=request())
    problem(response, 500, "plugin-failure")
    assert "cost module 'paint'" in response.json()["detail"]
    assert ask("GET", "/health/live").status_code == 200


OVAL = """
from math import inf, nan
from msgspec.structs import replace
from tallyplate.contract import CONTRACT, Family, refuse
from tallyplate_plugins.families import rectangular

class Oval(rectangular.Rectangular, frozen=True, forbid_unknown_fields=True, tag="oval", kw_only=True):
    pass

def build(spec, shop, usual):
    good = rectangular.build(spec, shop, usual)
    return GOOD

FAMILY = Family(contract=CONTRACT, title="Oval plate", spec=Oval, build=build)
"""

BUILDS = {
    "it raises": "1 / 0",
    "it ends the program": '__import__("sys").exit(0)',
    "it builds nothing": "None",
    "it builds a text": '"a plate"',
    "its body weighs nothing that is a number": "replace(good, body=replace(good.body, volume=nan))",
    "its body is infinite": "replace(good, body=replace(good.body, volume=inf, surface=inf))",
    "its body is negative": "replace(good, body=replace(good.body, volume=-1.0, surface=-1.0, plan_area=-1.0))",
    "its body is of no material": 'replace(good, body=replace(good.body, material="cheese"))',
    "its finish is none on offer": 'replace(good, finish="cheese")',
    "its holes are none of the contract's": "replace(good, holes=(5,))",
    "its blank is no number": "replace(good, blank=replace(good.blank, length=nan), other_blanks=())",
    "its setups are negative": "replace(good, setups=-1)",
}


@pytest.mark.parametrize("says", BUILDS.values(), ids=BUILDS)
def test_a_family_that_goes_wrong_makes_a_problem_that_names_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, says: str
) -> None:
    ask = _ask(tmp_path, monkeypatch, OVAL.replace("GOOD", says), {FAMILIES: {"oval": "harrow_paint:FAMILY"}})
    response = ask("POST", "/v1/prices", json=request({"/plate/family": "oval"}, MINIMAL))
    problem(response, 500, "plugin-failure")
    assert "the family 'oval'" in response.json()["detail"]
    ours = ask("POST", "/v1/prices", json=request())
    assert ours.json()["total"] == installation().price(request()).total
