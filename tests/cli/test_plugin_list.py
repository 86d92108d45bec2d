"""`tallyplate plugin list` and `plugin example`: what is installed, and the sections that it needs."""

import tomllib
from importlib.metadata import version
from pathlib import Path

import pytest

from tallyplate.cli import serving
from tallyplate.cli.main import main
from tallyplate.discovery import COSTS
from tallyplate.installation import compose
from tests.cli.files import Told
from tests.plates import DATA, installation
from tests.plugin_package import PAINT, install
from tests.rates.folder import CARD, SHOP, good, write
from tests.thirdparty import on_path
from tests.thirdparty.clean import QUILLAN


def _listed(capsys: Told) -> list[list[str]]:
    return [line.split() for line in capsys.readouterr().out.splitlines()]


def test_the_list_names_every_plugin_its_distribution_and_the_contract(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Told
) -> None:
    on_path.put(QUILLAN, tmp_path, monkeypatch)
    assert main(["plugin", "list"]) == 0
    head, *rows = _listed(capsys)
    assert head == ["name", "kind", "distribution", "version", "contract"]
    assert {name for name, *_ in rows} == {"corner", "serial_plates", *installation().families, *installation().modules}
    assert ["corner", "family", "quillan-plates", "1.2.0", "1"] in rows
    assert ["serial_plates", "cost", "quillan-plates", "1.2.0", "1"] in rows
    assert ["stock", "cost", "tallyplate", version("tallyplate"), "1"] in rows


@pytest.mark.parametrize(
    ("source", "entry", "reason"),
    [
        ("1 / 0", "paint", "cannot be imported: ZeroDivisionError"),
        (PAINT.replace("contract=CONTRACT", "contract=7"), "paint", "is written to contract 7"),
        (PAINT, "stock", "2 plugins are named 'stock'"),
    ],
)
def test_a_plugin_that_cannot_be_used_is_in_the_list_with_the_reason(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Told, source: str, entry: str, reason: str
) -> None:
    install(tmp_path, monkeypatch, source, {COSTS: {entry: "harrow_paint:MODULE"}})
    assert main(["plugin", "list"]) == 1
    told = capsys.readouterr()
    (row,) = [line.split() for line in told.out.splitlines() if "harrow_paint" in line]
    assert row[:4] == [entry, "cost", "harrow_paint", "2.5"]
    assert reason in told.err
    assert len(told.err.splitlines()) == 1
    assert "margin" in told.out, "the others are listed all the same"


def test_the_example_of_a_third_partys_module_is_its_own_with_the_work_centre_that_it_brings(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Told
) -> None:
    on_path.put(QUILLAN, tmp_path, monkeypatch)
    assert main(["plugin", "example", "serial_plates"]) == 0
    card, shop = capsys.readouterr().out.split("# For the shop data.")
    assert tomllib.loads(card) == {
        "work_centers": {"laser": "64 USD/h"},
        "serial_plates": {"plate": "6.80 USD/piece", "engraving": "0.12 USD/character", "entry": "35 USD"},
    }
    assert "Where [work_centers] stands already" in card
    assert tomllib.loads(shop.partition("\n")[2])["serial_plates"]["characters"] == 24


def test_the_examples_of_our_modules_make_up_the_whole_demonstration(tmp_path: Path, capsys: Told) -> None:
    here = installation()
    card, shop = dict(good(CARD)), dict(good(SHOP))
    for name in here.modules:
        for whole in (card, shop):
            whole.pop(name, None)
    for name in here.modules:
        assert main(["plugin", "example", name]) == 0
        both = capsys.readouterr().out
        for whole, kind in ((card, "rate-card"), (shop, "shop-data")):
            assert main(["plugin", "example", name, "--kind", kind]) == 0
            part = capsys.readouterr().out
            assert part in both or "no section" in part
            stated = tomllib.loads(part)
            assert set(stated) <= {name, "work_centers"}
            assert stated.get("work_centers", {}).items() <= whole["work_centers"].items()
            whole.update({name: stated[name]} if name in stated else {})
    write(tmp_path / "rate_cards" / "card.toml", card)
    write(tmp_path / "shop_data" / "shop.toml", shop)
    made = compose(here.families, here.modules, tmp_path)
    assert (made.cards[0].digest, made.shops[0].digest) == (here.cards[0].digest, here.shops[0].digest)


def test_a_plugin_without_a_section_says_so(capsys: Told) -> None:
    assert main(["plugin", "example", "round"]) == 0
    assert capsys.readouterr().out == "# round has no section of its own.\n"


def test_the_example_of_nothing_names_what_there_is(capsys: Told) -> None:
    assert main(["plugin", "example", "rounds"]) == 1
    told = capsys.readouterr().err
    assert told.startswith("'rounds' is no installed plugin; accepted: ")
    assert "round, rush, setup" in told


def test_a_folder_without_a_plugins_sections_is_told_how_to_get_them(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Told
) -> None:
    on_path.put(QUILLAN, tmp_path, monkeypatch)
    monkeypatch.setattr(serving, "log_as_json", lambda **_: None)
    assert main(["--data", str(DATA), "serve"]) == 1
    assert capsys.readouterr().err == (
        "rate_cards/2026-01.toml:1: serial_plates: this section is missing; it states plate, engraving, entry; "
        "`tallyplate plugin example serial_plates` prints one to start from\n"
        "shop_data/2026-01.toml:1: serial_plates: this section is missing; it states characters, character, riveting; "
        "`tallyplate plugin example serial_plates` prints one to start from\n"
    )
