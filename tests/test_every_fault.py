"""A refusal names every field at fault, also those that a step which is never reached would refuse."""

import json
from typing import Any, Final

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from tallyplate.contract import Refusal
from tallyplate.contract.refusals import UnknownVersion
from tallyplate.sets.priced import price_set
from tests.plates import ABSENT, installation, request
from tests.strategies import requests

ZEROS: Final = "0" * 64

FAULTS: Final[dict[str, Any]] = {
    "/plate/length": 5,
    "/plate/width": ABSENT,
    "/plate/material": "unobtainium",
    "/plate/finish": "gold",
    "/plate/pattern/margin": "10 m",
    "/plate/pattern/screw": "M99",
    "/plate/pattern/pitch": "0.00 mm",
    "/plate/mounting/screw": "M98",
    "/plate/features": [{"feature": "hole", "kind": "tapped", "at": [{"x": "100 mm", "y": "100 mm"}]}],
    "/plate/lifting_screw": "M10",
    "/plate/edge_chamfer": "90 mm",
    "/plate/colour": "red",
    "/quantity": 0,
    "/need_by": "9999-01-01",
    "/as_of": "1999-01-01",
    "/budget": "5.00 CHF",
    "/pins/shop_data": ZEROS,
    "/services/rush": "yes",
}
"""Faults that have nothing to do with each other, but where `HIDING` says so; each by the field that it is told of."""

AT: Final = {"/plate/features": "/plate/features/0/screw"}
"""Where else a fault is told."""

HIDING: Final = {"/plate/width": {"/plate/pattern/margin"}}
"""Faults that cannot be known while another field is at fault: how wide a margin may be, of a plate without a width."""


def refused(asked: object) -> Refusal:
    """The refusal of a request that has no price."""
    with pytest.raises(Refusal) as found:
        installation().price(asked)
    return found.value


def told(asked: object) -> set[str]:
    """The fields that a refusal names, each once."""
    pointers = [fault.pointer for fault in refused(asked).faults]
    assert len(pointers) == len(set(pointers))
    return set(pointers)


@example(set(FAULTS))
@given(st.sets(st.sampled_from(sorted(FAULTS)), min_size=1, max_size=5))
def test_each_of_several_faults_is_named_and_nothing_else(fields: set[str]) -> None:
    hidden = {field for at, fields_hidden in HIDING.items() if at in fields for field in fields_hidden}
    expected = {AT.get(field, field) for field in fields - hidden}
    assert told(request({field: FAULTS[field] for field in fields})) - hidden == expected


@pytest.mark.parametrize(
    ("changes", "fields"),
    [
        ({"/plate/thickness": "200 mm", "/plate/width": "50 m"}, {"/plate/thickness", "/plate/width"}),
        (
            {"/plate/thickness": "200 mm", "/plate/pattern/margin": "300 mm"},
            {"/plate/thickness", "/plate/pattern/margin"},
        ),
        (
            {"/plate/mounting": {"surface": "none", "locate": "pins"}, "/plate/pattern/margin": "300 mm"},
            {"/plate/mounting/locate", "/plate/pattern/margin"},
        ),
        ({"/plate/family": "unknown", "/plate/length": 5}, {"/plate/family"}),
    ],
)
def test_a_step_that_refuses_does_not_hide_the_next(changes: dict[str, Any], fields: set[str]) -> None:
    assert told(request(changes)) == fields


def test_what_may_be_right_once_another_field_is_mended_is_not_told() -> None:
    pocket = {"feature": "pocket", "length": "80 mm", "width": "40 mm", "depth": "45 mm", "corner_radius": "25 mm"}
    assert told(request({"/plate/thickness": "200 mm", "/plate/features": [pocket]})) == {"/plate/thickness"}
    assert told(request({"/plate/thickness": "44 mm", "/plate/features": [pocket]})) == {"/plate/features/0/depth"}


def test_the_kind_of_refusal_is_that_of_the_first_fault() -> None:
    assert isinstance(refused(request({"/pins": {"rate_card": ZEROS}, "/plate/material": "mud"})), UnknownVersion)


@given(requests())
def test_a_request_with_a_price_is_refused_for_its_one_fault_alone(drawn: dict[str, Any]) -> None:
    try:
        installation().price(drawn)
    except Refusal:
        return
    assert told({**drawn, "plate": {**drawn["plate"], "finish": "gold"}}) == {"/plate/finish"}


def test_the_faults_of_all_plates_of_a_set_are_named() -> None:
    first = {"/plate/length": 5, "/plate/material": "mud"}
    third = {"/plate/thickness": "200 mm", "/plate/pattern/margin": "10 m"}
    plates = [{"plate": request(changes)["plate"], "quantity": 1} for changes in (first, {}, third)]
    with pytest.raises(Refusal) as found:
        price_set({"plates": plates, "budget": "5.00 CHF"}, installation())
    assert {fault.pointer for fault in found.value.faults} == {
        "/plates/0/plate/length", "/plates/0/plate/material", "/plates/2/plate/thickness",
        "/plates/2/plate/pattern/margin", "/budget",
    }  # fmt: skip


def test_a_request_that_is_no_object_is_refused_as_it_is() -> None:
    odd: list[object] = [[], 5, None, json.loads("[" * 500 + "]" * 500)]
    assert [told(one) for one in odd] == [{""}] * len(odd)
