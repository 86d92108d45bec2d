"""Keys that no shop data know: told by what modules name as offered, and never of tables of which they name nothing."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from msgspec import Struct
from msgspec.structs import replace

from tallyplate.contract import CostModule, Length, PerPiece, ShopData
from tallyplate.installation import compose
from tallyplate.rates.files import DataError
from tests.misbehaving import module
from tests.plates import installation
from tests.rates.folder import CARD, SHOP, good, merged, write, write_data

LATER: dict[str, Any] = {"id": "later-shop", "effective_from": date(2026, 10, 1)}
BRONZE = good(SHOP)["materials"]["acetal"] | {"group": "bronze", "finishes": ["plain"]}


class Coats(Struct, frozen=True, forbid_unknown_fields=True):
    """Coats by colour, and what is charged beside them."""

    coat: dict[str, PerPiece]
    extra: dict[str, PerPiece] = {}


class Colours(Struct, frozen=True, forbid_unknown_fields=True):
    """Colours on offer, with the thickness of each."""

    colours: dict[str, Length]


def _painting(gaps: Any) -> CostModule:
    return replace(module(lambda *_: ()), rates=Coats, figures=Colours, gaps=gaps)


def _problems(folder: Path, painting: CostModule | None = None) -> list[str]:
    """What is wrong with a folder, where a third party's module may be installed too."""
    here = installation()
    try:
        compose(here.families, {**here.modules, **({"paint": painting} if painting else {})}, folder)
    except DataError as error:
        return list(error.problems)
    return []


def _write(folder: Path, coats: dict[str, Any], colours: tuple[str, ...], later: tuple[str, ...] = ()) -> None:
    figures = {"paint": {"colours": dict.fromkeys(colours, "0.1 mm")}}
    write_data(folder, {"paint": coats}, figures)
    if later:
        figures = {"paint": {"colours": dict.fromkeys(later, "0.1 mm")}}
        write(folder / "shop_data" / "later.toml", merged(good(SHOP), LATER | figures))


def _colours(rates: Coats, shop: ShopData) -> Iterator[str]:
    yield from (f"coat.{name}" for name in shop.figures(Colours).colours if name not in rates.coat)


def test_a_card_may_price_what_later_shop_data_have_alone(tmp_path: Path) -> None:
    write_data(tmp_path, {"stock": {"price": {"bronze": {"plate": "21 USD/kg"}}}})
    later = {"materials": {"bronze": BRONZE}, "stock": {"sawing": {"bronze": "40 cm^2/min"}}}
    told = _problems(tmp_path)
    assert [": stock.price.bronze: no shop data know it; accepted: acetal, " in one for one in told] == [True]
    write(tmp_path / "shop_data" / "later.toml", merged(good(SHOP), LATER | later))
    assert _problems(tmp_path) == []


def test_what_only_earlier_shop_data_had_stays_known(tmp_path: Path) -> None:
    write_data(tmp_path)
    materials = {name: one for name, one in good(SHOP)["materials"].items() if name != "acetal"}
    write(tmp_path / "shop_data" / "later.toml", good(SHOP) | LATER | {"materials": materials})
    assert _problems(tmp_path) == []


def test_each_unknown_key_is_said_once_for_all_that_stands_below_it(tmp_path: Path) -> None:
    price = {"unobtainium": {"plate": "9 USD/kg", "block": "9 USD/kg"}, "acetal": {"ingot": "9 USD/kg"}}
    write_data(tmp_path, {"stock": {"price": price}})
    keys = [problem.split(": ")[1] for problem in _problems(tmp_path)]
    assert keys == ["stock.price.acetal.ingot", "stock.price.unobtainium"]


def test_an_heir_that_misspells_what_it_changes_is_told_by_its_own_file(tmp_path: Path) -> None:
    write_data(tmp_path)
    heir = {"id": "heir", "inherits": good(CARD)["id"], "effective_from": date(2026, 7, 1)}
    write(tmp_path / "rate_cards" / "heir.toml", heir | {"mounting": {"t_nut": {"M 12": "3.30 USD/piece"}}})
    with (tmp_path / "rate_cards" / "heir.toml").open("a") as file:
        file.write("# end\n")
    (problem,) = _problems(tmp_path)
    assert problem == (
        'rate_cards/heir.toml:4: mounting.t_nut."M 12": no shop data know it; '
        "accepted: 1/2-13, 3/8-16, 5/8-11, M10, M12, M16"
    )


def test_a_third_partys_table_is_held_to_what_its_own_figures_offer_in_any_shop_data(tmp_path: Path) -> None:
    coats = {"coat": {"red": "5 USD/piece", "blue": "6 USD/piece", "bleu": "6 USD/piece"}}
    _write(tmp_path, coats, ("red",), later=("red", "blue"))
    (problem,) = _problems(tmp_path, _painting(_colours))
    assert problem.endswith(": paint.coat.bleu: no shop data know it; accepted: blue, red")


@pytest.mark.parametrize(
    ("coats", "gaps"),
    [
        pytest.param({"coat": {"bleu": "1 USD/piece"}}, None, id="it names no gaps"),
        pytest.param(
            {"coat": {"red": "1 USD/piece"}, "extra": {"tape": "1 USD/piece"}},
            _colours,
            id="it names none of the table",
        ),
        pytest.param(
            {"coat": {"red": "1 USD/piece", "other": "1 USD/piece"}},
            lambda rates, shop: () if "other" in rates.coat else _colours(rates, shop),
            id="a key closes the gaps of others",
        ),
        pytest.param(
            {"coat": {"acetal": "1 USD/piece", "al-cast": "1 USD/piece"}},
            lambda rates, _: () if "acetal" in rates.coat else ("coat.acetal",),
            id="a material that nobody asks for",
        ),
        pytest.param(
            {"coat": {"red": "1 USD/piece", "tape": "1 USD/piece"}},
            lambda rates, _: () if rates.coat["red"] else ("coat.red",),
            id="it cannot do without the table",
        ),
    ],
)
def test_a_third_partys_table_goes_on_as_before_where(tmp_path: Path, coats: dict[str, Any], gaps: Any) -> None:
    _write(tmp_path, coats, ("red",))
    assert _problems(tmp_path, _painting(gaps)) == []
