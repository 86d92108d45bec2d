"""What is said of a set: plates counted together, findings by plate, mass, hours and days of the whole."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from msgspec import UNSET, to_builtins

from tallyplate.contract import Refusal
from tallyplate.findings import Finding
from tallyplate.mends import applied
from tallyplate.sets import priced
from tallyplate.sets.outside import set_outside
from tallyplate.sets.priced import price_set
from tests.plates import installation
from tests.sets.orders import answered, asked, entry

LONG = entry(length="24 in")


def test_plates_that_are_made_alike_are_counted_together_however_they_are_spelled() -> None:
    answer = answered(entry(2), LONG, entry(3, length="254 mm", width="8.000 in"))
    assert [plate.like for plate in answer.plates] == [UNSET, UNSET, "/plates/0"]
    assert answer.plates[2].lines == []
    assert answer.plates[0].lines == answered(entry(5), LONG).plates[0].lines
    first, _, third = (Decimal(plate.amount) for plate in answer.plates)
    assert abs(first / 2 - third / 3) <= Decimal("0.01")
    assert {line.plates for line in answer.shared} == {("/plates/0", "/plates/1", "/plates/2")}


def test_a_line_that_some_plates_share_names_those() -> None:
    answer = answered(entry(), LONG, entry(material="steel-1018"))
    bushings = {line.plates for line in answer.shared if line.module == "inserts"}
    assert bushings == {("/plates/0", "/plates/1")}
    assert not [line for line in answer.plates[2].lines if line.module == "inserts"]


def test_names_come_back_and_a_plate_without_one_has_none() -> None:
    answer = answered({**entry(), "name": "left table"}, entry())
    assert [plate.name for plate in answer.plates] == ["left table", UNSET]


def test_findings_point_into_the_set_and_their_mends_mend_it() -> None:
    heavy = entry(length="400 mm", width="350 mm", thickness="70 mm")
    request = asked(entry(), heavy, budget="10.00 USD")
    answer = answered(*request["plates"], budget=request["budget"])
    (found,) = [one for one in answer.plates[1].findings if one.code == "heavy"]
    assert found.pointer.startswith("/plates/1/plate/")
    assert _left(applied(request, found.mend.changes), "heavy") == []  # type: ignore[union-attr]
    assert [one.code for one in answer.findings] == ["over-budget"]
    assert _left(applied(request, answer.findings[0].mend.changes), "over-budget") == []  # type: ignore[union-attr]


def _left(request: Any, code: str) -> list[Finding]:
    answer = answered(*request["plates"], budget=request["budget"])
    return [one for one in (*answer.findings, *answer.plates[1].findings) if one.code == code]


def test_what_was_assumed_points_into_the_set() -> None:
    answer = answered({"plate": entry()["plate"]}, {"plate": LONG["plate"]})
    pointers = {one.pointer for one in answer.plates[1].assumed}
    assert {"/plates/1/quantity", "/plates/1/plate/thickness"} <= pointers


def test_mass_and_quantity_are_those_of_the_whole_order() -> None:
    answer = answered(entry(2), entry(3, length="24 in"))
    assert answer.quantity == 5
    assert abs(Decimal(answer.mass.total) - sum(Decimal(one.mass.total) for one in answer.plates)) <= Decimal("0.002")


def test_hours_are_those_of_all_lines() -> None:
    answer = answered(entry(2), LONG)
    lines = [line for plate in answer.plates for line in plate.lines] + list(answer.shared)
    for center, told in answer.hours.items():
        assert Decimal(told) == sum(Decimal(line.quantity) for line in lines if line.work_center == center)


def test_the_order_is_ready_when_its_slowest_plate_is() -> None:
    here = installation()
    plain = answered(entry(200), entry(200, length="24 in"))
    finished = answered(entry(200), entry(200, length="24 in", finish="anodized"))
    days = here.shops[0].finishes["anodized"].days
    assert days > 0
    assert finished.lead_time.working_days >= plain.lead_time.working_days + days
    reverse = answered(entry(200, length="24 in", finish="anodized"), entry(200))
    assert reverse.lead_time == finished.lead_time
    alone = here.price({**entry(200), "as_of": "2026-03-02"})
    assert plain.lead_time.working_days > alone.lead_time.working_days


def test_a_rush_is_sooner_and_what_comes_later_than_stock_is_waited_for() -> None:
    turn, rush = (answered(entry(20), LONG, services={"rush": asked}).lead_time for asked in (False, True))
    assert rush.working_days < turn.working_days
    block = {"family": "tombstone", "faces": 4, "face_width": "250 mm", "height": "450 mm", "hollow": True}
    cast = {"plate": {**block, "material": "iron-grey"}}
    made = price_set(asked(entry(), cast), installation())
    days = made.price.builds[1].blank.days
    assert days > 0
    assert made.lead_time.working_days >= answered(entry()).lead_time.working_days + days


def test_a_date_that_the_whole_misses_is_said() -> None:
    alone = installation().price({**entry(200), "as_of": "2026-03-02"})
    need_by = alone.lead_time.ready_on.isoformat()
    assert answered(entry(200), need_by=need_by).findings == ()
    late = answered(entry(200), entry(200, length="24 in"), need_by=need_by).findings
    assert [(one.code, one.pointer) for one in late] == [("late", "/need_by")]


@pytest.mark.parametrize(
    ("services", "once"),
    [
        ({"spares": {"bushings": {"M12": 12}}}, {"spare bushings M12", "bagging spare bushings M12"}),
        ({"inspection_report": "summary"}, {"inspection report"}),
        ({"rush": True}, {"rush, ahead of the queue"}),
        ({"packing": "export"}, {"crates of heat-treated timber, marked (ISPM 15)", "lining crates"}),
    ],
)
def test_a_service_that_an_order_has_once_is_charged_once(services: dict[str, Any], once: set[str]) -> None:
    answer = answered(entry(), LONG, services=services)
    shared = [line.item for line in answer.shared if line.item in once]
    assert sorted(shared) == sorted(once)
    assert not [line for plate in answer.plates for line in plate.lines if line.item in once]


def test_a_lid_of_plugs_closes_every_plate_and_its_plugs_are_counted_over_all() -> None:
    answer = answered(entry(), LONG, services={"plugs": "every_hole"})
    plugs = sum(int(line.quantity) for line in answer.shared if line.item.startswith("hole plugs"))
    fitted = [
        line.basis for plate in answer.plates for line in plate.lines if line.item.startswith("fitting hole plugs")
    ]
    assert plugs == sum(int(basis.partition(" a plate")[0]) for basis in fitted)
    assert len(fitted) == 2


def test_each_metal_has_its_certificate() -> None:
    answer = answered(entry(), entry(material="steel-1018"), services={"material_certificate": "3.1"})
    for plate in answer.plates:
        assert [line.quantity for line in plate.lines if line.module == "paper"] == ["1"]


def test_the_outside_form_has_no_rate_no_hours_and_no_margin() -> None:
    here = installation()
    outside = set_outside(price_set(asked(entry(2), LONG, entry()), here), here.modules)
    told = to_builtins(outside)
    assert set(told) == {
        "currency", "quantity", "total", "plates", "findings", "mass", "lead_time", "as_of", "rate_card", "shop_data",
    }  # fmt: skip
    for plate in told["plates"]:
        assert set(plate) == {"quantity", "amount", "unit_price", "lines", "findings", "assumed", "mass"}
        assert {key for line in plate["lines"] for key in line} == {"item", "quantity", "unit", "amount"}
        assert {line["item"] for line in plate["lines"]} & {"Material", "Bushings and threaded inserts", "Packing"}
        assert not {line["item"] for line in plate["lines"]} & {"margin", "overhead", "minimum"}


def test_a_service_is_a_line_of_each_plate_to_customers() -> None:
    here = installation()
    outside = set_outside(price_set(asked(entry(2), LONG, services={"rush": True}), here), here.modules)
    for plate in outside.plates:
        assert "Rush" in {line.item for line in plate.lines}


def test_a_request_without_a_date_has_that_of_today() -> None:
    request = {"plates": [entry()]}
    assert price_set(request, installation(), date(2026, 6, 1)).as_of == date(2026, 6, 1)


def test_an_order_of_more_days_than_dates_can_be_counted_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    days = answered(entry(), LONG).lead_time.working_days
    monkeypatch.setattr(priced, "MOST_DAYS", days)
    answered(entry(), LONG)
    monkeypatch.setattr(priced, "MOST_DAYS", days - 1)
    with pytest.raises(Refusal, match=f"{days} working days; accepted: at most {days - 1}") as refused:
        answered(entry(), LONG)
    assert [fault.pointer for fault in refused.value.faults] == ["/plates"]
