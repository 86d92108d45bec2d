"""Plugins from other packages: found by their entry points, checked at the door, and named when they fail."""

from decimal import Decimal
from pathlib import Path

import pytest

import tallyplate
from tallyplate.contract import Refusal
from tallyplate.contract.refusals import UnknownVersion
from tallyplate.discovery import COSTS, FAMILIES, PluginError
from tallyplate.installation import compose
from tallyplate.pricing import PluginFailure
from tallyplate.rates.files import DataError
from tests.misbehaving import WRONG, module
from tests.plates import DATA, MINIMAL, installation, request
from tests.plugin_package import PAINT, install

OVAL = """
from tallyplate.contract import CONTRACT, Family, PlateSpec
from tallyplate_plugins.families.rectangular import build

class Oval(PlateSpec, frozen=True, forbid_unknown_fields=True, tag="oval"):
    pass

FAMILY = Family(contract=CONTRACT, title="Oval plate", spec=Oval, build=build)
"""


def test_a_strangers_cost_module_prices_every_plate_from_the_day_it_is_installed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    install(tmp_path, monkeypatch, PAINT, {COSTS: {"paint": "harrow_paint:MODULE"}})
    answer = tallyplate.load().price(request())
    (line,) = [line for line in answer.lines if line.module == "paint"]
    assert line.item == "a coat of paint"
    assert Decimal(line.amount) == Decimal(line.quantity) * 5
    assert answer.versions.plugins["harrow_paint"] == "2.5"
    assert Decimal(answer.total) > Decimal(installation().price(request()).total)


def test_a_strangers_family_is_on_offer_from_the_day_it_is_installed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    install(tmp_path, monkeypatch, OVAL, {FAMILIES: {"oval": "harrow_paint:FAMILY"}})
    assert sorted(tallyplate.load().families) == ["oval", "rectangular", "rework", "round", "tombstone"]


REFUSED: dict[str, tuple[str, dict[str, dict[str, str]], str]] = {
    "its module is missing": (PAINT, {COSTS: {"paint": "harrow_varnish:MODULE"}}, "No module named 'harrow_varnish'"),
    "its module lacks the value": (PAINT, {COSTS: {"paint": "harrow_paint:COLOUR"}}, "has no attribute 'COLOUR'"),
    "its module raises": ("1 / 0", {COSTS: {"paint": "harrow_paint:MODULE"}}, "ZeroDivisionError: division by zero"),
    "its module is no Python": ("def (", {COSTS: {"paint": "harrow_paint:MODULE"}}, "SyntaxError"),
    "its module ends the program": ("raise SystemExit(0)", {COSTS: {"paint": "harrow_paint:MODULE"}}, "SystemExit"),
    "its value is a function": (PAINT, {COSTS: {"paint": "harrow_paint:charges"}}, "is a function, not a CostModule"),
    "it is a family among the costs": (
        OVAL,
        {COSTS: {"oval": "harrow_paint:FAMILY"}},
        "is a Family, not a CostModule",
    ),
    "it is a cost module among the families": (
        PAINT,
        {FAMILIES: {"paint": "harrow_paint:MODULE"}},
        "is a CostModule, not a Family",
    ),
    "it is written to another contract": (
        PAINT.replace("contract=CONTRACT", "contract=CONTRACT + 1"),
        {COSTS: {"paint": "harrow_paint:MODULE"}},
        "is written to contract 2; this service speaks 1",
    ),
    "its spec has another family's tag": (OVAL, {FAMILIES: {"egg": "harrow_paint:FAMILY"}}, "the tag 'oval'"),
}


@pytest.mark.parametrize(("source", "entries", "reason"), REFUSED.values(), ids=REFUSED)
def test_a_plugin_that_cannot_be_used_stops_the_start_and_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, source: str, entries: dict[str, dict[str, str]], reason: str
) -> None:
    install(tmp_path, monkeypatch, source, entries)
    with pytest.raises(PluginError) as raised:
        tallyplate.load()
    told = str(raised.value)
    ((name, _),) = next(iter(entries.values())).items()
    assert f"plugin {name!r}" in told
    assert reason in told
    assert "harrow_paint" in told


def test_a_clash_of_names_names_both_distributions(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    install(tmp_path, monkeypatch, PAINT, {COSTS: {"stock": "harrow_paint:MODULE"}})
    with pytest.raises(PluginError, match=r"plugin 'stock'.*two plugins have this name") as raised:
        tallyplate.load()
    assert "harrow_paint" in str(raised.value)
    assert "tallyplate_plugins.costs.stock" in str(raised.value)


def test_a_family_and_a_cost_module_of_one_name_are_refused() -> None:
    here = installation()
    with pytest.raises(PluginError, match="both a family and a cost module are named rectangular"):
        compose(here.families, {**here.modules, "rectangular": here.modules["stock"]}, DATA)


@pytest.mark.parametrize("name", ["currency", "work_centers"])
def test_a_plugin_whose_section_would_be_a_key_that_every_card_states_is_refused_as_a_plugin(name: str) -> None:
    here = installation()
    with pytest.raises(PluginError, match=name):
        compose(here.families, {**here.modules, name: here.modules["stock"]}, DATA)


def test_a_module_whose_section_no_card_has_is_named_with_the_section() -> None:
    here = installation()
    with pytest.raises(DataError, match="varnish: this section is missing; it states price, cut"):
        compose(here.families, {**here.modules, "varnish": here.modules["stock"]}, DATA)


@pytest.mark.parametrize(("charges", "reason"), [pytest.param(*case, id=name) for name, case in WRONG.items()])
def test_a_module_that_does_wrong_fails_by_name_and_there_is_no_price(charges: object, reason: str) -> None:
    here = installation()
    wrong = compose(here.families, {**here.modules, "paint": module(charges)}, DATA)  # type: ignore[arg-type]
    with pytest.raises(PluginFailure, match="cost module 'paint' failed") as raised:
        wrong.price(request())
    assert raised.value.module == "paint"
    assert reason in str(raised.value)


def test_a_neutral_module_changes_no_line() -> None:
    here = installation()
    with_neutral = compose(here.families, {**here.modules, "paint": module(lambda *_: ())}, DATA)
    assert with_neutral.price(request()).lines == here.price(request()).lines


def test_the_order_in_which_plugins_are_found_changes_nothing() -> None:
    here = installation()
    turned = compose(here.families, dict(reversed(list(here.modules.items()))), DATA)
    assert turned.price(request()) == here.price(request())


def test_the_library_prices_by_itself_with_what_is_installed() -> None:
    assert tallyplate.price(MINIMAL) == installation().price(MINIMAL)


def test_a_refusal_says_where_and_why_to_whoever_calls_the_library() -> None:
    with pytest.raises(Refusal, match="/plate/material: 'unobtainium' is not on offer; accepted: acetal"):
        tallyplate.price(request({"/plate/material": "unobtainium"}))
    with pytest.raises(UnknownVersion, match="/pins/rate_card: "):
        tallyplate.price(request({"/pins/rate_card": "0" * 64}))


@pytest.mark.parametrize("missing", ["rate_cards", "shop_data"])
def test_a_folder_without_data_is_named(tmp_path: Path, missing: str) -> None:
    for name in {"rate_cards", "shop_data"} - {missing}:
        (tmp_path / name).symlink_to(DATA / name)
    with pytest.raises(DataError, match=rf"{missing}: no .toml file here"):
        tallyplate.load(tmp_path)
