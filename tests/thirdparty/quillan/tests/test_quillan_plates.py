"""Corner plates and serial plates: what they are, what they cost, and that they keep the laws."""

import pytest

import tallyplate
from tallyplate.contract import Refusal
from tallyplate.testkit import check_family, check_module

test_corner_plates_conform = check_family("corner")
test_serial_plates_conform = check_module("serial_plates")

PLATE = {
    "family": "corner",
    "length": "600 mm",
    "width": "400 mm",
    "thickness": "40 mm",
    "notch": {"length": "200 mm", "width": "150 mm"},
    "material": "al-6061-t6",
    "pattern": {"arrangement": "combination", "pitch": "50 mm", "margin": "50 mm", "screw": "M12"},
}


def test_the_notch_takes_its_volume_and_its_holes() -> None:
    answer = tallyplate.price({"plate": PLATE})
    # (0.6 x 0.4 - 0.2 x 0.15) m2 x 0.04 m at the demonstration's 2700 kg/m3.
    assert float(answer.mass.each) == pytest.approx(22.68)
    (holes,) = (line for line in answer.lines if line.item == "combination holes")
    # Rows at 50, 100, .. 350 mm of 11 holes; those above 200 mm end at 350 mm, with 7: 4 x 11 + 3 x 7.
    assert holes.basis.startswith("65 a plate")


def test_holding_screws_stand_at_the_five_outer_corners() -> None:
    answer = tallyplate.price({"plate": {**PLATE, "holding_screw": "M12"}})
    (screws,) = (line for line in answer.lines if line.item == "holding screws M12")
    assert screws.quantity == "5"
    assert not [finding for finding in answer.findings if finding.severity.value == "error"]


def test_a_notch_that_leaves_too_thin_an_arm_is_refused_by_field() -> None:
    notch = {"length": "541 mm", "width": "341 mm"}
    with pytest.raises(Refusal) as raised:
        tallyplate.price({"plate": {**PLATE, "notch": notch}})
    assert [fault.pointer for fault in raised.value.faults] == ["/plate/notch/length", "/plate/notch/width"]


@pytest.mark.parametrize("family", ["corner", "rectangular"])
def test_serial_plates_cost_the_same_on_a_plate_of_any_family(family: str) -> None:
    plate = {name: value for name, value in PLATE.items() if family == "corner" or name != "notch"}
    answer = tallyplate.price({"plate": {**plate, "family": family}, "quantity": 10})
    amounts = {line.item: line.amount for line in answer.lines if line.module == "serial_plates"}
    assert amounts == {
        "serial plates": "68.00",  # 10 x 6.80 USD
        "engraved characters": "28.80",  # 240 x 0.12 USD
        "entry in the register": "35.00",
        "engraving serial plates": "17.07",  # 960 s are 0.2667 h, at 64 USD/h
        "riveting serial plates": "10.83",  # 750 s are 0.2083 h, at the demonstration's 52 USD/h
    }
