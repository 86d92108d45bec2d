"""Law 6: lines sum to the total, every line re-multiplies from its printed text, and the total is shared evenly."""

import json
from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Context, Decimal
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from tallyplate.inquiry import MAX_QUANTITY
from tests.laws.prices import answered
from tests.strategies import CARD, Json, requests

PLACES = Decimal(1).scaleb(-CARD.minor_digits)
RULE = {"half-up": ROUND_HALF_UP, "half-even": ROUND_HALF_EVEN}[CARD.rounding.value]
POCKET = Context(prec=40)
"""Wide enough for any product of printed figures to be exact."""


def answer(request: Json) -> dict[str, Any]:
    """An answer as its reader has it: text."""
    return json.loads(answered(request))


many = st.builds(lambda order, quantity: order | {"quantity": quantity}, requests(), st.integers(1, MAX_QUANTITY))
orders = requests() | many


@given(orders)
def test_every_line_re_multiplies_from_its_printed_text(request: Json) -> None:
    for line in answer(request)["lines"]:
        product = POCKET.multiply(Decimal(line["quantity"]), Decimal(line["rate"]))
        assert Decimal(line["amount"]) == product.quantize(PLACES, RULE, POCKET), line


@given(orders)
def test_printed_amounts_sum_to_the_total(request: Json) -> None:
    priced = answer(request)
    assert sum((Decimal(line["amount"]) for line in priced["lines"]), Decimal(0)) == Decimal(priced["total"])


@given(orders)
def test_the_unit_price_is_the_total_divided_and_rounded(request: Json) -> None:
    priced = answer(request)
    shared = POCKET.divide(Decimal(priced["total"]), Decimal(priced["quantity"]))
    assert Decimal(priced["unit_price"]) == shared.quantize(PLACES, ROUND_HALF_UP, POCKET)


@given(orders)
def test_printed_time_by_work_centre_sums_to_the_hours(request: Json) -> None:
    priced = answer(request)
    hours: dict[str, Decimal] = {}
    for line in priced["lines"]:
        if center := line.get("work_center"):
            hours[center] = hours.get(center, Decimal(0)) + Decimal(line["quantity"])
    assert {center: Decimal(text) for center, text in priced["hours"].items()} == hours
