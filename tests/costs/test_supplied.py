"""Supplied material: its handling and check stand in the place of its stock, and nothing else changes."""

from decimal import Decimal
from typing import Any

import pytest
from msgspec.structs import replace

from tallyplate.contract import PerPiece, Refusal, Seconds
from tallyplate_plugins.costs import stock
from tallyplate_plugins.costs.supplied import MODULE, Figures, Rates
from tests.costs.plain import BUILD, said, seconds, shop
from tests.plates import answer, findings, installation, request

SHOP = shop(Figures(check=Seconds(240)))
RATES = Rates(handling=PerPiece(1_500, 2))
SENT = replace(BUILD, blank=replace(BUILD.blank, supplied=True))
SUPPLIED: dict[str, Any] = {"/plate/material_supplied": True}


def test_a_blank_that_the_customer_sends_is_handled_and_checked() -> None:
    handling, check = said(MODULE, SENT, SHOP, RATES)
    assert (handling.item, handling.rate, handling.per_plate) == ("handling supplied blanks", RATES.handling, 1)
    assert seconds([check]) == [("checking supplied blanks", "inspection", 240, 0)]


def test_it_is_charged_no_metal_no_cut_and_no_sawing_and_stock_no_handling() -> None:
    here = installation()
    assert said(stock.MODULE, SENT, here.shops[-1], here.cards[-1].sections["stock"]) == []
    assert said(MODULE, BUILD, SHOP, RATES) == said(MODULE, BUILD, shop()) == []


@pytest.mark.parametrize("rates", [None, RATES])
def test_a_shop_that_takes_no_material_refuses_it(rates: Rates | None) -> None:
    with pytest.raises(Refusal, match="is not on offer") as refused:
        said(MODULE, SENT, shop() if rates else SHOP, rates)
    assert [fault.pointer for fault in refused.value.faults] == ["/plate/material_supplied"]


@pytest.mark.parametrize("family", ["rectangular", "round", "tombstone"])
def test_of_every_family_only_the_lines_of_the_material_change(family: str) -> None:
    sizes: dict[str, dict[str, Any]] = {
        "rectangular": {"length": "300 mm", "width": "200 mm"},
        "round": {"diameter": "300 mm"},
        "tombstone": {"faces": 4, "face_width": "250 mm", "height": "300 mm", "made_from": "stock"},
    }
    plate = {"family": family, "material": "steel-1018", **sizes[family]}
    lines = [answer(changes, {"plate": plate, "as_of": "2026-06-01"})["lines"] for changes in ({}, SUPPLIED)]
    bought, sent = ([line for line in one if line["module"] not in MONEY] for one in lines)
    assert [line for line in sent if line["module"] != "supplied"] == [
        line for line in bought if line["module"] != "stock"
    ]
    assert {line["module"] for line in sent} - {line["module"] for line in bought} == {"supplied"}


MONEY = {"overhead", "margin", "minimum"}


def test_it_removes_more_than_it_adds_from_a_large_plate_and_less_from_a_small_one() -> None:
    # The law that a feature more is never cheaper does not hold here: stock goes by mass, handling by the blank.
    large, small = ({"/plate/length": size, "/plate/width": size} for size in ("700 mm", "150 mm"))
    free = {"/plate/mounting": {"surface": "none"}}
    saved = [
        Decimal(answer(sizes | free)["total"]) - Decimal(answer(sizes | free | SUPPLIED)["total"])
        for sizes in (large, small)
    ]
    assert saved[0] > 0 > saved[1]


def test_a_note_says_what_to_send_and_that_spoilt_plates_are_to_be_agreed() -> None:
    assert "supplied-material" not in findings()
    finding = findings(SUPPLIED)["supplied-material"]
    assert (finding["severity"], finding["pointer"]) == ("note", "/plate/material_supplied")
    blank = installation().build(request(SUPPLIED)).build.blank
    assert f"{blank.length:.1f} x {blank.width:.1f} x {blank.thickness:.1f} mm" in finding["message"]
    assert "spoilt" in finding["message"]


def test_its_certificate_is_the_customers_and_refused() -> None:
    with pytest.raises(Refusal, match="is the customer's; accepted: none") as refused:
        installation().price(request(SUPPLIED | {"/services/material_certificate": "3.1"}))
    assert [fault.pointer for fault in refused.value.faults] == ["/services/material_certificate"]
    installation().price(request(SUPPLIED | {"/services/material_certificate": "none"}))


def test_a_casting_that_is_sent_is_waited_for_at_no_foundry() -> None:
    plate = {"family": "tombstone", "faces": 4, "face_width": "250 mm", "height": "300 mm", "material": "iron-grey"}
    cast = {"plate": plate | {"made_from": "casting"}, "as_of": "2026-06-01"}
    days = [answer(changes, cast)["lead_time"]["working_days"] for changes in ({}, SUPPLIED)]
    assert days[1] < days[0]
