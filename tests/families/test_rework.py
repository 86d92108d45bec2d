"""Rework of a plate: nothing bought or squared, holes where they are said, more of them never cheaper."""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tallyplate.answers import PriceAnswer
from tallyplate.contract import Refusal
from tests.plates import installation

BASE: dict[str, Any] = {
    "family": "rework",
    "length": "600 mm",
    "width": "400 mm",
    "thickness": "40 mm",
    "material": "al-6061-t6",
}
HOLES: dict[str, Any] = {
    "kind": "combination",
    "screw": "M12",
    "at": [{"x": "50 mm", "y": "50 mm"}, {"x": "4 in", "y": "50 mm"}],
}

KINDS = st.sampled_from(["tapped", "locating", "combination"])


def price(quantity: int = 1, **changes: Any) -> PriceAnswer:
    return installation().price({"plate": BASE | changes, "quantity": quantity, "as_of": "2026-06-01"})


def test_no_stock_and_no_squaring_is_charged_and_the_plate_is_looked_over_and_picked_up() -> None:
    modules = {line.module for line in price(holes=[HOLES]).lines}
    assert not modules & {"stock", "squaring", "finishing", "marking", "mounting"}
    assert {"supplied", "reworking", "holes", "inserts", "setup", "packing"} <= modules


def test_holes_lie_where_they_are_said_and_soft_metal_gets_bushings() -> None:
    made = installation().build({"plate": BASE | {"holes": [HOLES, HOLES | {"kind": "tapped", "screw": "M10"}]}})
    combination, tapped = made.build.holes
    assert list(combination.layout.positions()) == [(50.0, 50.0), (pytest.approx(101.6), 50.0)]
    assert (combination.kind, combination.hole.parts, combination.asked) == (
        "combination",
        ("bushing",),
        "/plate/holes/0",
    )
    assert (tapped.kind, tapped.hole.parts, tapped.count) == ("tapped", (), 2)
    assert made.build.setups == 1


def test_a_pattern_may_be_added_and_none_is_where_none_is_asked_for() -> None:
    added = installation().build({"plate": BASE | {"pattern": {"arrangement": "combination", "pitch": "50 mm"}}})
    assert sum(group.count for group in added.build.holes) > 50
    assert installation().build({"plate": BASE}).build.holes == ()


def test_only_what_is_said_is_engraved() -> None:
    def marks(**marking: Any) -> list[tuple[str, str]]:
        made = installation().build({"plate": BASE | {"marking": marking, "pattern": {"pitch": "50 mm"}}})
        return [(one.side, one.text) for one in made.build.marks]

    assert marks(text="REV C") == [("top", "REV C")]
    assert marks(edges=["left"]) == [("left", "")]
    assert installation().build({"plate": BASE}).build.marks == ()


@settings(max_examples=25)
@given(
    st.integers(1, 30), st.integers(0, 40), st.sampled_from(["tapped", "locating", "combination"]), st.integers(1, 9)
)
def test_a_hole_or_a_bushing_more_never_costs_less(count: int, worn: int, kind: str, quantity: int) -> None:
    def total(holes: int, bushings: int) -> float:
        at = [{"x": f"{20 + 37 * place % 560} mm", "y": f"{20 + 53 * place % 360} mm"} for place in range(holes)]
        replaced = [{"screw": "M12", "count": bushings}] if bushings else []
        added = [{"kind": kind, "screw": "M10", "at": at}]
        return float(price(quantity, holes=added, bushings=replaced).total)

    assert total(count, worn) <= total(count + 1, worn)
    assert total(count, worn) <= total(count, worn + 1)


@pytest.mark.parametrize(
    ("changes", "pointer"),
    [
        ({"holes": [HOLES | {"at": [{"x": "50 mm", "y": "400 mm"}]}]}, "/plate/holes/0/at/0/y"),
        ({"holes": [HOLES, HOLES | {"at": [{"x": "50 mm", "y": "50 mm"}, {"x": "0 mm", "y": "5 mm"}]}]},
         "/plate/holes/1/at/1/x"),
        ({"holes": [HOLES | {"at": []}]}, "/plate/holes/0/at"),
        ({"holes": [HOLES | {"screw": "M13"}]}, "/plate/holes/0/screw"),
        ({"bushings": [{"screw": "M13", "count": 1}]}, "/plate/bushings/0/screw"),
        ({"bushings": [{"screw": "M12", "count": 0}]}, "/plate/bushings/0/count"),
        ({"material": "cheese"}, "/plate/material"),
        ({"mounting": {}}, "/plate/mounting"),
    ],
)  # fmt: skip
def test_what_cannot_be_done_is_refused_at_its_place(changes: dict[str, Any], pointer: str) -> None:
    with pytest.raises(Refusal) as refused:
        price(**changes)
    assert [fault.pointer for fault in refused.value.faults] == [pointer]


def test_findings_say_what_is_not_known_here_and_when_nothing_is_to_be_done() -> None:
    def codes(**changes: Any) -> dict[str, str]:
        return {one.code: one.pointer for one in price(**changes).findings}

    assert codes()["nothing-to-rework"] == "/plate"
    assert codes(holes=[HOLES])["old-holes"] == "/plate/holes/0"
    worn = codes(bushings=[{"screw": "M12", "count": 8}])
    assert not {"nothing-to-rework", "old-holes", "supplied-material"} & set(worn)
