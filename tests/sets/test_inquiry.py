"""A set is read whole or refused with every fault, each named by its place in the request."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallyplate.contract import Fault, Refusal
from tallyplate.sets.inquiry import MOST_PLATES, placed, read_set
from tallyplate.sets.priced import price_set
from tests.plates import installation
from tests.sets.orders import asked, entry
from tests.test_inquiry import JSON


def _refused(request: Any) -> dict[str, str]:
    with pytest.raises(Refusal) as raised:
        price_set(request, installation())
    faults = raised.value.faults
    assert len({fault.pointer for fault in faults}) == len(faults)
    return {fault.pointer: fault.message for fault in faults}


def test_every_fault_of_the_order_and_of_each_plate_is_named_at_once_and_once() -> None:
    found = _refused(
        asked(
            entry(quantity=0),
            entry(length="600", colour="red"),
            {"plate": entry()["plate"], "name": "", "count": 2},
            {"quantity": 2},
            budget="much",
            need_by="soon",
            rush=True,
        )
    )
    assert set(found) == {
        "/plates/0/quantity", "/plates/1/plate/length", "/plates/1/plate/colour", "/plates/2/name", "/plates/2/count",
        "/plates/3/plate", "/budget", "/need_by", "/rush",
    }  # fmt: skip
    assert "accepted here: as_of" in found["/rush"]


def test_what_a_family_or_the_shop_refuses_is_named_for_each_plate() -> None:
    found = _refused(asked(entry(), entry(material="unobtainium"), entry(length="90 m"), budget="10.00 EUR"))
    assert set(found) == {"/plates/1/plate/material", "/plates/2/plate/length", "/budget"}
    assert "accepted: " in found["/plates/1/plate/material"]


def test_what_is_wrong_with_the_order_is_said_once() -> None:
    assert set(_refused(asked(entry(), entry(), as_of="1066-10-14"))) == {"/as_of"}
    assert set(_refused(asked(entry(), services={"spares": {"screws": {"M13": 1}}}))) == {"/services/spares/screws"}


def test_a_version_that_is_not_here_keeps_its_kind() -> None:
    with pytest.raises(Refusal) as raised:
        price_set(asked(entry(), pins={"rate_card": "0" * 64}), installation())
    assert raised.value.code == "version-unavailable"


@pytest.mark.parametrize(("count", "pointer"), [(0, "/plates"), (MOST_PLATES + 1, "/plates")])
def test_a_set_of_no_plates_or_of_too_many_is_refused(count: int, pointer: str) -> None:
    assert set(_refused(asked(*[entry()] * count))) == {pointer}


def test_a_set_of_just_the_most_plates_is_read() -> None:
    read = read_set(asked(*[entry()] * MOST_PLATES), installation().families)
    assert read.quantity == MOST_PLATES
    message = _refused(asked(*[entry()] * (MOST_PLATES + 1)))["/plates"]
    assert message == f"{MOST_PLATES + 1} plates; accepted: at most {MOST_PLATES}"


@pytest.mark.parametrize(
    ("pointer", "there"),
    [
        ("/plate", "/plates/7/plate"), ("/plate/length", "/plates/7/plate/length"), ("/quantity", "/plates/7/quantity"),
        ("/budget", "/budget"), ("/services/plugs", "/services/plugs"), ("", ""), ("/plateau", "/plateau"),
    ],
)  # fmt: skip
def test_a_pointer_into_a_price_request_is_moved_to_the_plate(pointer: str, there: str) -> None:
    assert placed(pointer, 7) == there


@given(JSON, st.sampled_from(["plates", "plates/0", "plates/0/plate", "plates/0/quantity", "services", "pins", ""]))
def test_any_data_are_read_or_refused_with_reasons(value: Any, where: str) -> None:
    request: Any = asked(entry())
    if where:
        *parents, last = where.split("/")
        place = request
        for step in parents:
            place = place[int(step)] if isinstance(place, list) else place[step]
        place[int(last) if isinstance(place, list) else last] = value
    else:
        request = value
    faults: tuple[Fault, ...] = (Fault("", "read"),)
    try:
        read_set(request, installation().families)
    except Refusal as refusal:
        faults = refusal.faults
    assert faults
    assert all(fault.message for fault in faults)
