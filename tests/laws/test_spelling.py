"""Law 5: a plate costs the same to the cent in any units, with keys in any order, alone or among others."""

import json
from decimal import Decimal
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from tests.laws.prices import answered, cost, made
from tests.strategies import CARD, UNITS, Json, in_mm, requests, said


def respelled(draw: st.DrawFn, value: Any) -> Any:
    """The same JSON with every length in any unit that can say it, and every object's keys in any order."""
    if isinstance(value, dict):
        return {key: respelled(draw, value[key]) for key in draw(st.permutations(list(value)))}
    if isinstance(value, str) and value[0].isdigit() and value.split(" ")[-1] in UNITS:
        return said(draw, in_mm(value))
    return value


@st.composite
def spellings(draw: st.DrawFn) -> tuple[Json, Json]:
    """A request, and the same one spelled otherwise."""
    request = draw(requests())
    return request, respelled(draw, request)


def without_spelling(answer: bytes) -> Json:
    """An answer but for the texts of what was assumed, which may name a length as it was written."""
    decoded = json.loads(answer)
    return decoded | {"assumed": [assumed["pointer"] for assumed in decoded["assumed"]]}


@given(spellings())
def test_a_plate_costs_the_same_in_any_units_and_any_order_of_keys(spelled: tuple[Json, Json]) -> None:
    one, other = spelled
    assert without_spelling(answered(other)) == without_spelling(answered(one))


@given(st.data(), requests())
def test_an_order_costs_the_same_alone_repeated_and_among_others(data: st.DataObject, request: Json) -> None:
    # The installation may remember plates and answers; the engine, which is asked anew, remembers none.
    others = st.one_of(st.just(request), requests(), requests(st.just(request["plate"])))
    for order in [request, *data.draw(st.lists(others, min_size=1, max_size=5), label="then"), request]:
        total = json.loads(answered(order))["total"]
        assert Decimal(total).scaleb(CARD.minor_digits) == cost(made(order["plate"]), order["quantity"])
