"""The outside form: selling amounts that sum to the price, and nothing else of the inside."""

import json
from decimal import Decimal

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from tallyplate.installation import Form
from tallyplate.money import spread
from tests.plates import ROOT, installation

BODY = (ROOT / "openapi" / "examples" / "plate.json").read_bytes()
INSIDE_WORDS = ("rate", "hours", "margin", "work_center", "overhead", "basis", "module", "versions")


def _answers() -> tuple[dict, dict]:
    here = installation()
    return json.loads(here.price_json(BODY)), json.loads(here.price_json(BODY, form=Form.OUTSIDE))


def test_the_selling_amounts_sum_to_the_price_of_the_inside_form() -> None:
    inside, outside = _answers()
    assert outside["total"] == inside["total"]
    assert sum(Decimal(line["amount"]) for line in outside["lines"]) == Decimal(outside["total"])


def test_no_key_of_the_outside_form_names_an_inside_figure() -> None:
    _, outside = _answers()
    keys = set(outside) | {key for line in outside["lines"] for key in line}
    assert keys.isdisjoint(INSIDE_WORDS)
    assert keys == {
        "currency", "quantity", "unit_price", "total", "lines", "findings", "assumed", "mass", "lead_time", "as_of",
        "rate_card", "shop_data", "item", "unit", "amount",
    }  # fmt: skip


def test_no_amount_or_rate_of_the_inside_form_stands_in_the_outside_form() -> None:
    inside, outside = _answers()
    costs = {line["amount"] for line in inside["lines"]} | {line["rate"] for line in inside["lines"]}
    by_module: dict[str, Decimal] = {}
    for line in inside["lines"]:
        by_module[line["module"]] = by_module.get(line["module"], Decimal()) + Decimal(line["amount"])
    costs |= {str(amount) for amount in by_module.values()}
    assert costs.isdisjoint(line["amount"] for line in outside["lines"])


def test_the_lines_are_named_for_customers_and_leave_out_what_only_raises_the_price() -> None:
    _, outside = _answers()
    items = [line["item"] for line in outside["lines"]]
    assert items[0] == "Material"
    assert "Hole pattern" in items
    assert not {"margin", "overhead", "minimum"} & {item.lower() for item in items}


@given(st.integers(0, 10**9), st.lists(st.integers(0, 10**7), min_size=1, max_size=12))
@example(100, [1, 1, 1])
def test_a_total_is_spread_whole_and_in_proportion(total: int, weights: list[int]) -> None:
    shares = spread(total, weights)
    assert sum(shares) == total
    whole = sum(weights)
    for share, weight in zip(shares, weights, strict=True):
        assert not whole or abs(share - total * weight / whole) <= 1


@pytest.mark.parametrize(
    ("total", "weights", "shares"), [(100, [1, 1, 1], [34, 33, 33]), (7, [0, 0], [7, 0]), (5, [0, 3], [0, 5])]
)
def test_what_is_left_goes_to_the_largest_remainders_first_then_to_the_earlier(
    total: int, weights: list[int], shares: list[int]
) -> None:
    assert spread(total, weights) == shares
