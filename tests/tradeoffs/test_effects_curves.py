"""Curves: the very prices along one answer, in order, bounded, and true to the laws."""

from decimal import Decimal
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, reject, settings
from hypothesis import strategies as st
from msgspec import UNSET
from msgspec.structs import replace

from tallyplate.answers import PriceAnswer
from tallyplate.contract import Refusal, refuse
from tallyplate.http.effects import start
from tallyplate.inquiry import MAX_QUANTITY
from tallyplate.tradeoffs.curves import MOST_POINTS, curves, quantities
from tests.plates import MINIMAL, installation, request
from tests.strategies import Json, requests
from tests.tradeoffs.effects import ROUND, curve, found, price, with_changes


def _curves_are_true(asked: Json) -> None:
    answer = found(asked)
    for one in answer["curves"]:
        points = one["points"]
        assert 1 <= len(points) <= MOST_POINTS
        assert sum(point["present"] for point in points) == 1
        assert all(Decimal(a["at"]) < Decimal(b["at"]) for a, b in pairwise(points))
        for point in points:
            if point["present"]:
                assert point["total"] == answer["total"]
            elif "total" in point:
                assert point["total"] == price(with_changes(asked, {one["pointer"]: point["value"]})).total
            else:
                assert point["refused"]
                assert not point["can_be_made"]
            assert point["can_be_made"] == (not point["errors"] and not point["refused"])


@pytest.mark.parametrize("asked", [request(), MINIMAL, ROUND], ids=["millimetres", "inches", "round"])
def test_every_point_is_the_price_of_its_value(asked: Json) -> None:
    _curves_are_true(asked)


@settings(max_examples=6)
@given(requests())
def test_a_total_never_falls_with_the_quantity(asked: Json) -> None:
    try:
        price(asked)
    except Refusal:
        reject()
    totals = [Decimal(point["total"]) for point in curve(found(asked), "quantity")]
    assert totals == sorted(totals)


@given(st.integers(1, MAX_QUANTITY))
def test_quantities_are_bounded_reach_on_both_sides_and_hold_the_present_one(present: int) -> None:
    tried = quantities(present)
    assert len(tried) <= MOST_POINTS
    assert tried == sorted(set(tried))
    assert tried[0] == 1
    assert present in tried
    assert tried[-1] > present or present == MAX_QUANTITY
    assert tried[-1] <= MAX_QUANTITY


def test_points_that_cannot_be_made_are_marked() -> None:
    answer = found(request())
    assert [point["value"] for point in curve(answer, "pitch") if not point["can_be_made"]] == ["17.5 mm", "20 mm"]
    thin = curve(answer, "thickness")[0]
    assert "short-thread" in {finding["code"] for finding in thin["errors"]}


def test_a_point_without_a_price_says_why() -> None:
    asked = start(request(), installation())

    def never_ten(changed: Any) -> PriceAnswer:
        if changed["quantity"] == 10:
            raise refuse("/quantity", "not ten; accepted: any other")
        return asked.price(changed)

    (quantity,) = curves(replace(asked, price=never_ten), ("quantity",))
    (ten,) = [point for point in quantity.points if point.refused]
    assert (ten.value, ten.total, ten.can_be_made) == (10, UNSET, False)
    assert ten.refused[0].message == "not ten; accepted: any other"


def test_a_plate_with_two_pitches_has_the_curve_of_the_first() -> None:
    separate = request({"/plate/pattern": {"arrangement": "separate", "tapped": {"pitch": "60 mm"}}})
    (pitch,) = [one for one in found(separate)["curves"] if one["name"] == "pitch"]
    assert pitch["pointer"] == "/plate/pattern/locating/pitch"
