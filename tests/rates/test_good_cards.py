"""Cards and shop data that are kept: by date, named by digest, pinned, and converted without a change of price."""

import re
import tomllib
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from tallyplate.answers import PriceAnswer
from tallyplate.contract import CostModule, Refusal, work
from tallyplate.contract.refusals import UnknownVersion
from tallyplate.installation import Installation, compose
from tallyplate.pricing import PluginFailure
from tallyplate.rates.files import DataError, digest, read
from tallyplate.rates.load import cards_and_shops
from tests.misbehaving import module
from tests.plates import ABSENT, MINIMAL, installation, request
from tests.rates.folder import CARD, SHOP, good, merged, toml, write, write_data

LATER: dict[str, Any] = {
    "id": "later-card",
    "effective_from": date(2026, 7, 1),
    "work_centers": {"mill": "120 USD/h"},
}
LATER_SHOP: dict[str, Any] = {
    "id": "later-shop",
    "effective_from": date(2026, 10, 1),
    "machine": {"tool_change": "50 s"},
}


def _installed(folder: Path, modules: dict[str, CostModule] | None = None) -> Installation:
    here = installation()
    return compose(here.families, {**here.modules, **(modules or {})}, folder)


@pytest.fixture
def dated(tmp_path: Path) -> Installation:
    """The demonstration's card and shop data, and later ones of each."""
    write_data(tmp_path)
    write(tmp_path / "rate_cards" / "later.toml", merged(good(CARD), LATER))
    write(tmp_path / "shop_data" / "later.toml", merged(good(SHOP), LATER_SHOP))
    return _installed(tmp_path)


def _as_of(dated: Installation, day: str, **pins: str) -> PriceAnswer:
    return dated.price(request({"/as_of": day} | {f"/pins/{name}": value for name, value in pins.items()}))


@pytest.mark.parametrize(
    ("day", "card", "shop"),
    [
        ("2026-01-01", "harrow-pell-2026-01", "harrow-pell-shop-2026-01"),
        ("2026-06-30", "harrow-pell-2026-01", "harrow-pell-shop-2026-01"),
        ("2026-07-01", "later-card", "harrow-pell-shop-2026-01"),
        ("2026-09-30", "later-card", "harrow-pell-shop-2026-01"),
        ("2026-10-01", "later-card", "later-shop"),
        ("2199-12-31", "later-card", "later-shop"),
    ],
)
def test_the_versions_in_force_on_a_date_make_the_price(dated: Installation, day: str, card: str, shop: str) -> None:
    answer = _as_of(dated, day)
    assert (answer.rate_card.id, answer.shop_data.id) == (card, shop)
    rates = {line.rate for line in answer.lines if line.work_center == "mill"}
    assert rates == {"120.00" if card == "later-card" else "96.00"}


def test_an_old_price_is_made_again_under_its_date_whatever_came_later(dated: Installation) -> None:
    assert _as_of(dated, "2026-03-02") == installation().price(request({"/as_of": "2026-03-02"}))
    assert float(_as_of(dated, "2026-07-01").total) > float(_as_of(dated, "2026-06-30").total)


def test_a_date_before_the_first_version_is_refused_with_the_first_date(dated: Installation) -> None:
    with pytest.raises(Refusal, match=r"/as_of: .*2025-12-31; accepted: from 2026-01-01 on"):
        _as_of(dated, "2025-12-31")


def test_pins_make_the_price_from_those_versions_on_any_date(dated: Installation) -> None:
    old, new = _as_of(dated, "2026-03-02"), _as_of(dated, "2026-11-02")
    pinned = _as_of(dated, "2026-11-02", rate_card=old.rate_card.digest, shop_data=old.shop_data.digest)
    assert pinned.lines == old.lines
    crossed = _as_of(dated, "2026-11-02", rate_card=old.rate_card.digest)
    assert (crossed.rate_card, crossed.shop_data) == (old.rate_card, new.shop_data)


def test_a_pin_of_the_other_kind_of_file_is_not_here(dated: Installation) -> None:
    here = _as_of(dated, "2026-03-02")
    with pytest.raises(UnknownVersion, match="/pins/rate_card"):
        _as_of(dated, "2026-03-02", rate_card=here.shop_data.digest)


@pytest.mark.parametrize("repeated", ["id", "effective_from"])
@pytest.mark.parametrize(("name", "file"), [("rate_cards/card.toml", CARD), ("shop_data/shop.toml", SHOP)])
def test_two_files_of_one_id_or_one_date_are_refused(tmp_path: Path, repeated: str, name: str, file: Path) -> None:
    write_data(tmp_path)
    other = {"id": "another", "effective_from": date(2027, 1, 1)}
    del other[repeated]
    another = name.replace(Path(name).name, "another.toml")
    write(tmp_path / another, merged(good(file), other))
    with pytest.raises(DataError) as raised:
        _installed(tmp_path)
    (problem,) = raised.value.problems
    says = rf"{name}:[12]: {repeated}: {another} states {good(file)[repeated]} too; accepted: each "
    assert re.match(says, problem), problem


def test_two_files_that_inherit_one_date_are_both_named(tmp_path: Path) -> None:
    write_data(tmp_path)
    write(tmp_path / "rate_cards" / "heir.toml", {"id": "heir", "inherits": good(CARD)["id"]})
    with (tmp_path / "rate_cards" / "heir.toml").open("a") as file:
        file.write("# end\n")
    with pytest.raises(DataError, match=r"rate_cards/card\.toml states .*\(inherited by rate_cards/heir\.toml\)"):
        _installed(tmp_path)


def test_faults_of_cards_and_of_shop_data_are_told_at_once(tmp_path: Path) -> None:
    write_data(tmp_path, {"packing": {"crate": 48}}, {"machine": {"settle": "0.4 mm"}})
    with pytest.raises(DataError) as raised:
        _installed(tmp_path)
    files = [problem.partition(":")[0] for problem in raised.value.problems]
    assert files == ["rate_cards/card.toml", "shop_data/shop.toml"]


def test_cards_and_shop_data_of_a_good_folder_are_those_that_prices_are_made_with(tmp_path: Path) -> None:
    write_data(tmp_path)
    here = installation()
    cards, shops = cards_and_shops(tmp_path, here.modules, here.families)
    assert (cards[0].digest, shops[0].digest) == (here.cards[0].digest, here.shops[0].digest)


@pytest.mark.parametrize(("name", "says"), [("huge", "1000001 bytes"), ("gone", "cannot be read")])
def test_a_file_that_cannot_be_read_is_named_with_its_folder(tmp_path: Path, name: str, says: str) -> None:
    write_data(tmp_path)
    file = tmp_path / "shop_data" / f"{name}.toml"
    if name == "huge":
        file.write_bytes(b"#" * 1_000_001)
    else:
        file.symlink_to("nowhere")
    with pytest.raises(DataError, match=rf"\Ashop_data/{name}\.toml: {says}"):
        _installed(tmp_path)


def test_the_problems_of_all_files_and_sections_come_at_once(tmp_path: Path) -> None:
    write_data(tmp_path, card={"packing": {"crate": 48}, "margin": {"of_price": "100 %"}})
    write(tmp_path / "rate_cards" / "later.toml", merged(good(CARD), {**LATER, "painting": {}}))
    with pytest.raises(DataError) as raised:
        _installed(tmp_path)
    places = {(problem.partition(":")[0], problem.split(": ")[1]) for problem in raised.value.problems}
    card, later = "rate_cards/card.toml", "rate_cards/later.toml"
    assert places == {(card, "packing.crate"), (card, "margin"), (later, "painting")}


def test_a_digest_knows_no_comments_spacing_or_order_of_keys(tmp_path: Path) -> None:
    lines = [f"{toml(key)} = {toml(value)}   # said again" for key, value in _turned(good(CARD)).items()]
    (tmp_path / "card.toml").write_text("# Another hand.\n\n" + "\n\n".join(lines) + "\n")
    assert digest(read(tmp_path / "card.toml")) == digest(read(CARD)) == installation().cards[0].digest


def _turned(data: Any) -> Any:
    if isinstance(data, dict):
        return {key: _turned(value) for key, value in reversed(data.items())}
    return data


@pytest.mark.parametrize(
    "change",
    [
        {"id": "b"},
        {"work_centers": {"saw": "58.01 USD/h"}},
        {"work_centers": {"saw": "58.00 USD/h"}},
        {"effective_from": date(2026, 1, 2)},
        {"finishing": {"as_machined": []}},
    ],
    ids=repr,
)
def test_a_digest_knows_every_change_of_what_is_said(change: dict[str, Any]) -> None:
    assert digest(merged(good(CARD), change)) != digest(good(CARD))


def test_a_rate_in_other_units_of_the_same_dimension_costs_the_same(tmp_path: Path) -> None:
    # 0.45359237 kg is a pound by definition (International yard and pound agreement of 1959; from memory).
    write_data(
        tmp_path,
        card={
            "stock": {"price": {"al-6061-t6": {"plate": "3.583379723 USD/lb"}}},
            "work_centers": {"mill": "1.60 USD/min"},
        },
        shop={"machine": {"tool_change": "0.083333333333 min", "travel_x": "1.6 m"}},
    )
    assert _installed(tmp_path).price(request()).lines == installation().price(request()).lines


def test_a_rate_that_rises_raises_no_line_but_its_own(tmp_path: Path) -> None:
    write_data(tmp_path, card={"packing": {"crate": "49 USD/piece"}})
    before, after = installation().price(request()).lines, _installed(tmp_path).price(request()).lines
    changed = {(new.module, new.item) for old, new in zip(before, after, strict=True) if old != new}
    assert changed == {("packing", "crates"), ("overhead", "on material and parts"), ("margin", "margin")}


def test_today_is_todays_date_where_the_card_says_the_shop_stands(tmp_path: Path) -> None:
    days = set()
    for zone in ("Pacific/Kiritimati", "Etc/GMT+12"):
        write_data(tmp_path / zone, card={"time_zone": zone})
        days.add(_installed(tmp_path / zone).price(request({"/as_of": ABSENT})).as_of)
    # 26 hours lie between the two, so that their dates always differ.
    assert len(days) == 2


def test_half_a_cent_goes_where_the_card_says(tmp_path: Path) -> None:
    # 1 crate at 0.125 USD is half a cent between 0.12, which is even, and 0.13.
    for rounding, amount in (("half-up", "0.13"), ("half-even", "0.12")):
        write_data(tmp_path / rounding, card={"rounding": rounding, "packing": {"crate": "0.125 USD/piece"}})
        lines = _installed(tmp_path / rounding).price(MINIMAL).lines
        assert [line.amount for line in lines if line.item == "crates"] == [amount]


@pytest.mark.parametrize(("currency", "decimals"), [("JPY", 0), ("EUR", 2), ("KWD", 3)])
def test_amounts_have_the_decimals_of_the_cards_currency(tmp_path: Path, currency: str, decimals: int) -> None:
    # ISO 4217 gives the yen no minor unit, the euro two decimals and the Kuwaiti dinar three (from memory).
    text = toml(good(CARD)).replace("USD", currency)
    write_data(tmp_path, card=tomllib.loads(f"card = {text}")["card"])
    answer = _installed(tmp_path).price(MINIMAL)
    assert answer.currency == currency
    for amount in (answer.total, answer.unit_price, *(line.amount for line in answer.lines)):
        assert len(amount.partition(".")[2]) == decimals


def test_a_work_centre_that_the_shop_does_not_know_yet_fails_by_the_name_of_the_module(tmp_path: Path) -> None:
    write_data(tmp_path, card={"work_centers": {"spray": "40 USD/h"}})
    center = {"work_centers": {"spray": {"capacity": "7 h/day", "queue": "1 day"}}}
    write(tmp_path / "shop_data" / "later.toml", merged(good(SHOP), LATER_SHOP | center))
    spraying = module(lambda *_: (work("spraying", 60, "spray"),))
    with pytest.raises(PluginFailure, match="paint"):
        _installed(tmp_path, {"paint": spraying}).price(MINIMAL)
