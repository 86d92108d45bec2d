"""`cards check` proves a folder: what is wrong with it, line by line, and nothing where it may be deployed."""

import json
import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from tallyplate import proof
from tallyplate.cli.cards_check import check
from tallyplate.cli.main import main
from tallyplate.cli.serving import proved
from tallyplate.contract import ShopData
from tallyplate.discovery import COSTS
from tallyplate.installation import Installation
from tallyplate.rates.card import RateCard
from tests.plates import DATA
from tests.plugin_package import install
from tests.rates.folder import CARD, SHOP, good, merged, write, write_data

LATER = {"id": "later", "effective_from": date(2026, 7, 1)}
CLASSES = [{"below": "0.02 mm", "probed": "10 %"}, {"below": "0.04 mm", "probed": "40 %"}]

DISCOUNT = """
from tallyplate.contract import CONTRACT, Charge, CostModule, PerPiece, Stage

def charges(build, order, shop, rates, earlier):
    yield Charge("coat", 1, PerPiece(600000 if order.quantity < 26 else 400000, 2))

MODULE = CostModule(contract=CONTRACT, stage=Stage.MAKE, charges=charges)
"""
"""A cost module that gives a discount on all units."""


def checked(capsys: pytest.CaptureFixture[str], folder: Path, *options: str) -> tuple[int, str]:
    """The exit code and what was printed; nothing goes to the other stream."""
    code = main(["cards", "check", str(folder), *options])
    told = capsys.readouterr()
    assert told.err == ""
    return code, told.out


def as_json(capsys: pytest.CaptureFixture[str], folder: Path) -> tuple[int, dict[str, Any]]:
    """The exit code and the outcome as a machine reads it."""
    code, out = checked(capsys, folder, "--json")
    return code, json.loads(out)


def test_the_demonstration_holds(capsys: pytest.CaptureFixture[str]) -> None:
    together = {"rate_card": "harrow-pell-2026-01", "shop_data": "harrow-pell-shop-2026-01", "plates": 42}
    assert as_json(capsys, DATA) == (0, {"problems": [], "warnings": [], "notes": [], "proved": [together]})


@pytest.mark.parametrize(
    ("card", "shop", "says"),
    [
        (
            {"packing": {"crate": "48 USD/kg"}},
            {},
            r"rate_cards/card\.toml:\d+: packing\.crate: '48 USD/kg' has the dimension of",
        ),
        (
            {"margin": {"of_price": "22 USD"}, "glue": {}},
            {},
            r"(?s)rate_cards/card\.toml:\d+: glue: unknown section.*rate_cards/card\.toml:\d+: margin\.of_price: ",
        ),
        (
            {},
            {"inspection": {"classes": CLASSES}},
            r"shop_data/shop\.toml:\d+: inspection: classes rise in their limit and fall in the share probed",
        ),
        (
            {"packing": {"wrap": "-5 USD/m2"}},
            {},
            r"rate_cards/card\.toml:\d+: packing\.wrap: '-5 USD/m2' is negative; accepted: 0 USD/m2 or more",
        ),
        (
            {},
            {"effective_from": date(2026, 2, 1)},
            r"shop_data/shop\.toml:2: effective_from: from 2026-01-01 to 2026-01-31 ",
        ),
    ],
    ids=["another dimension", "two faults", "classes that probe less when tighter", "negative", "a gap"],
)
def test_what_is_wrong_with_a_folder_is_printed_with_file_line_and_key(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], card: dict[str, Any], shop: dict[str, Any], says: str
) -> None:
    write_data(tmp_path, card, shop)
    code, out = checked(capsys, tmp_path)
    assert code == 1
    assert re.match(says, out), out


def test_two_files_of_one_date_are_both_told_with_the_date(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write_data(tmp_path)
    write(tmp_path / "rate_cards" / "later.toml", merged(good(CARD), {"id": "later"}))
    says = (
        "rate_cards/later.toml:2: effective_from: rate_cards/card.toml states 2026-01-01 too; accepted: each date once"
    )
    assert as_json(capsys, tmp_path) == (1, {"problems": [says], "warnings": [], "notes": [], "proved": []})


def test_what_is_wrong_with_a_card_and_with_shop_data_is_told_at_once(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write_data(tmp_path, {"packing": {"crate": "48 USD/kg"}}, {"machine": {"settle": "0.4 mm"}})
    code, outcome = as_json(capsys, tmp_path)
    assert code == 1
    told = [problem.split(": ")[:2] for problem in outcome["problems"]]
    assert [(place.partition(":")[0], key) for place, key in told] == [
        ("rate_cards/card.toml", "packing.crate"),
        ("shop_data/shop.toml", "machine.settle"),
    ]


def test_a_price_list_that_rises_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    breaks = [{"from": 1, "price": "7 USD/piece"}, {"from": 51, "price": "7.40 USD/piece"}]
    write_data(tmp_path, {"inserts": {"bushing": {"M12": {"breaks": breaks}}}})
    code, outcome = as_json(capsys, tmp_path)
    assert code == 1
    (problem,) = outcome["problems"]
    assert re.match(r"rate_cards/card\.toml:\d+: inserts\.bushing\.M12: the price rises from piece 51 on", problem)


def _no_quotes() -> dict[str, Any]:
    """The demonstration's card, which then states no agreed prices, whose proof takes longer than all others."""
    return {name: value for name, value in good(CARD).items() if name != "quotes"}


def _without_quotes(folder: Path) -> None:
    write_data(folder)
    write(folder / "rate_cards" / "card.toml", _no_quotes())


@pytest.mark.slow
def test_figures_that_leap_are_warnings_and_each_pair_in_force_is_proved(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    _without_quotes(tmp_path)
    rates, figures = {"work_centers": {"mill": "960 USD/h", "saw": "60 USD/h"}}, {"machine": {"tool_change": "50 s"}}
    write(tmp_path / "rate_cards" / "later.toml", merged(_no_quotes(), LATER | rates))
    write(tmp_path / "shop_data" / "later.toml", merged(good(SHOP), LATER | figures))
    code, out = checked(capsys, tmp_path)
    card, shop, *proved = out.splitlines()
    assert code == 0
    leap = r"warning: {0}/later\.toml:\d+: {2}: {3} becomes {4} \(\+900 %\) against {0}/{1}\.toml"
    assert re.fullmatch(leap.format("rate_cards", "card", "work_centers.mill", "96 USD/h", "960 USD/h"), card)
    assert re.fullmatch(leap.format("shop_data", "shop", "machine.tool_change", "5 s", "50 s"), shop)
    assert [line.partition(":")[0] for line in proved] == [
        "rate card harrow-pell-2026-01 with shop data harrow-pell-shop-2026-01",
        "rate card later with shop data later",
    ]


@pytest.mark.slow
def test_a_broken_law_is_a_problem_with_its_counter_example(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    install(tmp_path, monkeypatch, DISCOUNT, {COSTS: {"paint": "harrow_paint:MODULE"}})
    code, outcome = as_json(capsys, DATA)
    assert code == 1
    assert outcome["proved"] == []
    (problem,) = outcome["problems"]
    together = "rate card harrow-pell-2026-01 with shop data harrow-pell-shop-2026-01"
    costs = r"cost [\d,]+\.\d\d and 26 cost [\d,]+\.\d\d \(less in paint\): more plates must never cost less"
    assert re.fullmatch(rf"{together}: 25 plates of family rectangular, material .* {costs}", problem)
    for answer in ("length", "width", "thickness", "finish", "pattern (arrangement", "mounting (surface"):
        assert f"{answer} " in problem


def test_what_is_wrong_with_a_card_by_itself_is_said_once_for_all_the_shop_data_it_meets(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    write_data(tmp_path)
    write(tmp_path / "shop_data" / "later.toml", merged(good(SHOP), LATER))
    met: list[str] = []

    def broken(installation: Installation, card: RateCard, shop: ShopData) -> Iterator[str]:
        met.append(shop.id)
        yield f"{card.id}: falls"

    monkeypatch.setattr(proof, "broken_laws", broken)
    _, outcome = as_json(capsys, tmp_path)
    assert outcome["problems"] == ["harrow-pell-2026-01: falls"]
    assert met == ["harrow-pell-shop-2026-01", "later"]


def test_a_folder_that_is_not_there_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, out = checked(capsys, tmp_path / "nowhere")
    assert code == 1
    assert "nowhere/rate_cards: no .toml file here" in out


def test_a_service_that_watches_the_folder_is_told_the_same(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write_data(tmp_path, {"packing": {"crate": "48 USD/kg"}})
    _, outcome = as_json(capsys, tmp_path)
    assert outcome["problems"]
    assert proved(tmp_path) == tuple(outcome["problems"])


def test_without_a_folder_it_is_wrongly_called(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["cards", "check"])
    assert ended.value.code == 2
    assert "FOLDER" in capsys.readouterr().err


@pytest.mark.slow
def test_only_what_is_in_force_from_a_date_on_is_tried_when_told_so(tmp_path: Path) -> None:
    _without_quotes(tmp_path)
    later = {"id": "later", "inherits": "harrow-pell-2026-01", "effective_from": date(2027, 1, 1)}
    write(tmp_path / "rate_cards" / "later.toml", later)
    with (tmp_path / "rate_cards" / "later.toml").open("a") as file:
        file.write("# end\n")
    assert [one.rate_card for one in check(tmp_path).proved] == ["harrow-pell-2026-01", "later"]
    assert [one.rate_card for one in check(tmp_path, date(2027, 6, 1)).proved] == ["later"]
    assert [one.rate_card for one in check(tmp_path, date(2026, 6, 1)).proved] == ["harrow-pell-2026-01", "later"]
