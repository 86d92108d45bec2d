"""Paper and service around plates: asked for beside the plate, priced on lines of their own, refused by name."""

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from tallyplate.contract import Refusal
from tallyplate.installation import Form, Installation, compose
from tallyplate.orders import portfolio
from tallyplate.tradeoffs.questions.served import LEVELS
from tests.plates import MINIMAL, ROOT, answer, installation, request
from tests.quote.quotes import made
from tests.rates.folder import CARD, SHOP, good, without, write
from tests.tradeoffs.questions import asked, asked_of

ALL: dict[str, Any] = {
    "material_certificate": "3.1",
    "inspection_report": "every_hole",
    "packing": "export",
    "spares": {"plugs": {"M12": 9}},
    "plugs": "every_hole",
    "matched": True,
    "rush": True,
}


def _lines(services: dict[str, Any]) -> list[tuple[str, str]]:
    return list(dict.fromkeys((line["module"], line["item"]) for line in answer({"/services": services})["lines"]))


def test_each_service_adds_lines_of_its_own_that_say_what_they_are() -> None:
    plain, served = _lines({}), _lines(ALL)
    assert [line for line in served if line not in plain] == [
        ("spares", "hole plugs M12"),
        ("spares", "fitting hole plugs M12"),
        ("spares", "spare hole plugs M12"),
        ("spares", "bagging spare hole plugs M12"),
        ("paper", "material certificate 3.1 (EN 10204)"),
        ("paper", "inspection report"),
        ("paper", "filling in the report"),
        ("paper", "measuring every hole"),
        ("matching", "measuring from the common datum"),
        ("export", "crates of heat-treated timber, marked (ISPM 15)"),
        ("export", "barrier film"),
        ("export", "sealing plates in film"),
        ("export", "lining crates"),
        ("rush", "rush, ahead of the queue"),
    ]
    assert [line for line in served if line in plain] == plain


def test_a_customer_sees_each_service_as_a_line_and_still_no_cost() -> None:
    body = json.dumps(request({"/services": ALL})).encode()
    items = [line["item"] for line in json.loads(installation().price_json(body, form=Form.OUTSIDE))["lines"]]
    assert items[-3:] == ["Packing", "Export packing", "Rush"]
    assert "Certificates and reports" in items


@pytest.mark.parametrize(
    ("pointer", "value", "accepted"),
    [
        ("/services/material_certificate", "3.2", "2.1, 2.2, 3.1"),
        ("/services/inspection_report", True, "every_hole"),
        ("/services/packing", "airmail", "export"),
        ("/services/rush", "yes", "true or false"),
        ("/services/plugs", "all", "every_hole"),
        ("/services/spares/screws/M12", 0, "1"),
        ("/services/spares/nuts", {"M12": 4}, "bushings, plugs, screws"),
        ("/services/gift_wrap", True, "material_certificate"),
    ],
)
def test_a_service_that_is_not_on_offer_is_refused_with_its_place_and_what_is(
    pointer: str, value: Any, accepted: str
) -> None:
    with pytest.raises(Refusal) as refused:
        installation().price(request({pointer: value}))
    (fault,) = refused.value.faults
    assert fault.pointer == pointer
    assert accepted in fault.message


def _without(tmp_path: Path, *sections: str) -> Installation:
    """The demonstration, whose card and shop data say nothing of some modules."""
    card, shop = good(CARD), good(SHOP)
    for section in sections:
        card, shop = without(card, section), without(shop, section)
    write(tmp_path / "rate_cards" / "card.toml", card)
    write(tmp_path / "shop_data" / "shop.toml", shop)
    here = installation()
    return compose(here.families, here.modules, tmp_path)


def test_a_card_that_knows_no_services_prices_plates_as_ever_and_refuses_services_by_name(tmp_path: Path) -> None:
    old = _without(tmp_path, "paper", "export", "rush", "spares", "matching")
    assert old.price(request()).lines == installation().price(request()).lines
    for name, value in ALL.items():
        with pytest.raises(Refusal, match="is not on offer") as refused:
            old.price(request({f"/services/{name}": value}))
        assert [fault.pointer for fault in refused.value.faults] == [f"/services/{name}"]


def test_a_column_of_a_table_asks_for_a_service() -> None:
    plate = request()["plate"]
    table = b"plate.family,plate.length,plate.width,plate.material,services.rush,services.material_certificate\n"
    row = ",".join([plate["family"], "300 mm", "200 mm", plate["material"], "true", "3.1"]).encode()
    (entry,) = portfolio([table, row], "orders.csv")
    modules = {line.module for line in installation().price(entry.request).lines}
    assert {"rush", "paper"} <= modules


def test_the_example_prices_are_those_of_plates_without_services() -> None:
    asked = json.loads((ROOT / "openapi" / "examples" / "plate.json").read_text())
    assert "services" not in asked
    modules = {line.module for line in installation().price(asked).lines}
    assert modules.isdisjoint({"paper", "export", "rush", "spares", "matching", "supplied", "reworking"})


def test_a_quote_lists_services_and_makes_the_same_order_again() -> None:
    quoted = made(changes={"/services": ALL}).quote
    assert {"Certificates and reports", "Export packing", "Rush", "Spare parts and hole plugs"} <= {
        line.item for line in quoted.lines
    }
    assert quoted.request["services"] == ALL
    again = installation().price({**quoted.request, "as_of": quoted.as_of.isoformat()})
    assert again.total == quoted.list_total
    assert "services" not in made().quote.request


def test_every_open_service_is_asked_for_and_one_that_is_said_no_more() -> None:
    open_ones = {one["pointer"]: one for one in asked_of(MINIMAL["plate"], quantity=2)["open"]}
    assert {f"/services/{name}" for name in LEVELS} <= set(open_ones)
    rush = {one["value"]: one for one in open_ones["/services/rush"]["choices"]}
    assert Decimal(rush[True]["total"]) > Decimal(rush[False]["total"])
    days = {value: one["words"].rpartition(" ")[2] for value, one in rush.items()}
    assert days[True] < days[False]  # dates, the year first
    settled = asked_of(MINIMAL["plate"], quantity=2, services={name: levels[0] for name, levels in LEVELS.items()})
    assert not [one for one in settled["open"] if one["pointer"].startswith("/services")]


def test_what_a_shop_does_not_offer_is_not_asked_for(tmp_path: Path) -> None:
    old = _without(tmp_path, "paper", "rush")
    pointers = {one["pointer"] for one in asked({"plate": MINIMAL["plate"], "quantity": 2}, old)["open"]}
    assert {one for one in pointers if one.startswith("/services")} == {"/services/packing"}


def test_the_levels_that_are_asked_for_are_those_that_a_request_may_say_and_rise_in_price() -> None:
    for name, levels in LEVELS.items():
        totals = [Decimal(answer({f"/services/{name}": level})["total"]) for level in levels]
        assert totals == sorted(set(totals))
