"""Alternatives within a budget are those that brute force finds, which prices every combination."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import HealthCheck, given, reject, settings
from hypothesis import strategies as st

from tallyplate.contract import Refusal
from tests.plates import MINIMAL, installation, request
from tests.strategies import plates, quantities
from tests.tradeoffs.alternatives import PLENTY, TOMBSTONE, Json, assert_exact, cents, found
from tests.tradeoffs.effects import ROUND, with_changes

FREE: list[Any] = [
    "/plate/finish",
    {"pointer": "/plate/material", "values": ["steel-1018"]},
    {"pointer": "/plate/pattern/pitch", "values": ["40 mm", "50 mm", "65 mm"]},
    {"pointer": "/plate/position_tolerance", "values": ["0.05 mm", "0.02 mm"]},
]
POOL: dict[str, list[Any]] = {
    "/plate/material": ["al-cast", "steel-4140", "acetal"],
    "/plate/finish": ["plain", "anodized", "black-oxide"],
    "/plate/thickness": ["20 mm", "38 mm", "1.9 in", "60 mm"],
    "/plate/pattern/screw": ["M10", "1/2-13", "M16"],
    "/plate/pattern/arrangement": ["combination", "alternating", "separate"],
    "/plate/pattern/pitch": ["30 mm", "1.5 in", "63 mm"],
    "/plate/pattern/bushings": [True, False],
    "/plate/position_tolerance": ["0.008 mm", "0.02 mm", "0.04 mm", "0.1 mm"],
    "/plate/flatness": ["0.02 mm", "0.019 mm", "0.1 mm"],
    "/plate/marking/edges": [[], ["left"], ["left", "bottom", "right", "top"]],
}


@pytest.mark.parametrize(
    "asked",
    [
        request({"/may_change": FREE}),
        {**MINIMAL, "may_change": ["/plate/pattern/screw", "/plate/pattern/bushings", *FREE[2:]]},
        {**ROUND, "may_change": ["/plate/material", {"pointer": "/plate/diameter", "values": ["350 mm"]}]},
        TOMBSTONE,
    ],
    ids=["millimetres", "inches", "round", "tombstone"],
)
def test_the_front_is_that_of_brute_force(asked: Json) -> None:
    assert len(assert_exact(asked)["alternatives"]) > 2


@st.composite
def _requests(draw: st.DrawFn) -> Json:
    pointers = draw(st.lists(st.sampled_from(list(POOL)), min_size=3, max_size=4, unique=True))
    values = {
        pointer: draw(st.lists(st.sampled_from(POOL[pointer]), min_size=1, max_size=2, unique_by=repr))
        for pointer in pointers
    }
    plate = draw(plates())
    free = [{"pointer": pointer, "values": some} for pointer, some in values.items()]
    return {"plate": plate, "quantity": draw(quantities(plate)), "as_of": "2026-03-02", "may_change": free}


@settings(max_examples=15, deadline=None, suppress_health_check=list(HealthCheck))
@given(_requests())
def test_the_front_of_any_plate_is_that_of_brute_force(asked: Json) -> None:
    try:
        found({**asked, "budget": PLENTY})
    except Refusal:
        reject()  # the plate is refused, or has no such choice
    assert_exact(asked)


def test_no_alternative_beats_another_and_all_keep_the_budget_and_are_priced_alike_elsewhere() -> None:
    asked = request({"/budget": "3500.00 USD", "/may_change": FREE})
    alternatives = found(asked)["alternatives"]
    assert len(alternatives) > 5
    merits = [_merits(one) for one in alternatives]
    for one in merits:
        assert one[0] <= 350_000
        assert not any(all(a <= b for a, b in zip(other, one, strict=True)) for other in merits if other is not one)
    plain = {name: value for name, value in asked.items() if name != "may_change"}
    present = installation().price(plain)
    for one in alternatives:
        changed = with_changes(plain, {change["pointer"]: change["to"] for change in one["changes"]})
        price = installation().price(changed)
        assert (one["total"], one["unit_price"]) == (price.total, price.unit_price)
        assert Decimal(one["difference"]) == Decimal(price.total) - Decimal(present.total)
        assert not [finding for finding in price.findings if finding.code == "over-budget"]


def _merits(one: Json) -> tuple[float, ...]:
    tolerance, stiffness = one["position_tolerance"].removesuffix(" mm"), one["stiffness"].removesuffix(" kN m")
    return cents(one["total"]), -one["positions"], float(tolerance), -float(stiffness)


def test_what_costs_nothing_is_not_changed() -> None:
    loose = [{"pointer": "/plate/flatness", "values": ["0.3 mm", "0.2 mm"]}]
    (only,) = found(request({"/budget": PLENTY, "/may_change": loose}))["alternatives"]
    assert only["changes"] == []
    assert only["difference"] == "0.00"
    assert only["sentence"] == "As asked for: nothing is given up and nothing saved."


def test_the_stiffness_of_a_steel_plate_is_that_of_the_textbook_strip() -> None:
    steel = request({"/plate/material": "steel-1018", "/plate/finish": "plain", "/budget": PLENTY, "/may_change": []})
    modulus = installation().shops[-1].materials["steel-1018"].modulus
    # E b h^3 / 12 with b = 1 m, h = 40 mm (second moment of area of a rectangle, any mechanics textbook).
    assert found(steel)["present"]["stiffness"] == f"{modulus * 40**3 / 12 / 1e6:.0f} kN m"


def test_sentences_name_materials_by_their_titles_and_are_in_the_callers_unit() -> None:
    free = [
        {"pointer": "/plate/material", "values": ["al-5083"]},
        {"pointer": "/plate/position_tolerance", "values": ["0.15 mm"]},
    ]
    inches = {"/plate/length": "24 in", "/plate/width": "16 in", "/plate/thickness": "1.5 in"}
    asked = request({**inches, "/plate/position_tolerance": "0.002 in", "/budget": PLENTY, "/may_change": free})
    sentences = " ".join(one["sentence"] for one in found(asked)["alternatives"])
    assert "Material Aluminium 5083 instead of Aluminium 6061-T6" in sentences
    assert "0.0059 in instead of 0.002 in: gives up 0.0039 in of position tolerance" in sentences
    assert " mm" not in sentences
