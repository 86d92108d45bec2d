"""Law 5: a plate costs the same to the cent in any units, with keys in any order, alone or among others."""

import json
from decimal import Decimal
from typing import Any

from hypothesis import assume, given
from hypothesis import strategies as st

from tallyplate.contract import Lattice
from tests.laws.prices import answered, cost, made
from tests.strategies import CARD, FREE, SHOP, UNITS, Json, in_mm, plates, requests, said


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
    """An answer but for the texts of what was assumed and of mends, which may name a length as it was written."""
    decoded = json.loads(answer)
    for finding in decoded["findings"]:
        finding.pop("mend", None)
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


@given(plates(mounting=st.just(FREE), arrangements=("combination",), zoned=False))
def test_a_last_hole_that_fits_exactly_in_text_is_not_lost_to_binary_fractions(plate: Json) -> None:
    pattern = plate["pattern"]
    usual = SHOP.screws[pattern["screw"]].usual_pitch.text
    pitch = in_mm(pattern.get("pitch", usual))
    # A pitch is the usual margin of a plate that has room for it.
    assume("margin" in pattern or 2 * pitch <= min(in_mm(plate["length"]), in_mm(plate["width"])))
    margin = in_mm(pattern["margin"]) if "margin" in pattern else pitch
    start = in_mm(pattern["origin"]["x"]) if "origin" in pattern else margin
    layout = made(plate).holes[0].layout
    assert isinstance(layout, Lattice)
    step, length = pitch / 2 if pattern.get("staggered") else pitch, in_mm(plate["length"])
    about_centre = 2 * ((length / 2 - margin) // step) + 1
    on = (length - margin - start) // step + 1
    assert layout.columns == (about_centre if pattern.get("laid_from") == "centre" else on)
