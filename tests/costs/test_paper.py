"""Paper: the mill's certificate by its type, a report once an order, a sheet a plate, and holes measured one by one."""

from typing import Any

import pytest
from msgspec.structs import replace

from tallyplate.contract import Build, Charge, PerOrder, Refusal, Seconds, Services
from tallyplate_plugins.costs.paper import MODULE, Certificates, Figures, Rates
from tests.costs.plain import BUILD, ORDER, holes, seconds, shop

SHOP = shop(Figures(sheet=Seconds(600), hole=Seconds(15)))
RATES = Rates(certificate=Certificates(PerOrder(10, 0), PerOrder(20, 0), PerOrder(70, 0)), report=PerOrder(30, 0))
PLATE = replace(BUILD, holes=(holes(7), holes(4), holes(6, kind="holding", mounting=True)))


def _asked(build: Build = PLATE, rates: Rates | None = RATES, at: Any = SHOP, **services: Any) -> list[Charge]:
    return list(MODULE.charges(build, replace(ORDER, services=Services(**services)), at, rates, ()))


def test_an_order_that_asks_for_no_paper_is_charged_none_whatever_the_card_states() -> None:
    assert _asked() == _asked(rates=None, at=shop()) == []


@pytest.mark.parametrize(("kind", "price"), [("2.1", 10), ("2.2", 20), ("3.1", 70)])
def test_a_certificate_costs_by_its_type_once_an_order(kind: Any, price: int) -> None:
    (charge,) = _asked(material_certificate=kind)
    assert (charge.item, charge.rate) == (f"material certificate {kind} (EN 10204)", PerOrder(price, 0))
    assert (charge.per_plate, charge.per_order) == (0, 1)


def test_a_summary_is_drawn_up_once_an_order_and_filled_in_for_each_plate() -> None:
    report, *work = _asked(inspection_report="summary")
    assert (report.item, report.rate, report.per_plate, report.per_order) == (
        "inspection report",
        PerOrder(30, 0),
        0,
        1,
    )
    assert report.common
    assert seconds(work) == [("filling in the report", "inspection", 600, 0)]


def test_a_report_of_every_hole_measures_those_of_the_pattern_and_not_those_that_hold_the_plate() -> None:
    summary, every = _asked(inspection_report="summary"), _asked(inspection_report="every_hole")
    assert every[:-1] == summary
    assert seconds(every[-1:]) == [("measuring every hole", "inspection", 11 * 15, 0)]
    assert every[-1].basis == "11 holes a plate"


@pytest.mark.parametrize("prices", [(21, 20, 70), (10, 71, 70)])
def test_a_certificate_that_says_more_may_not_cost_less(prices: tuple[int, int, int]) -> None:
    with pytest.raises(ValueError, match=r"may not fall in price from 2\.1 over 2\.2 to 3\.1"):
        Certificates(*(PerOrder(price, 0) for price in prices))
    Certificates(PerOrder(20, 0), PerOrder(20, 0), PerOrder(20, 0))  # alike they may be


@pytest.mark.parametrize(
    ("service", "pointer"),
    [
        ({"material_certificate": "2.1"}, "/services/material_certificate"),
        ({"inspection_report": "summary"}, "/services/inspection_report"),
    ],
)
def test_a_card_that_states_no_figures_refuses_what_is_asked_for_by_name(service: dict[str, Any], pointer: str) -> None:
    with pytest.raises(Refusal, match="is not on offer") as refused:
        _asked(rates=None, **service)
    assert [fault.pointer for fault in refused.value.faults] == [pointer]


def test_shop_data_without_its_times_refuse_a_report() -> None:
    with pytest.raises(Refusal, match="is not on offer"):
        _asked(at=shop(), inspection_report="summary")
