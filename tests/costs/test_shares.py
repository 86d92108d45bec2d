"""Overhead, margin and the minimum order: shares and sums of what came before."""

import pytest

from tallyplate.contract import Share, Sum
from tallyplate_plugins.costs import margin, minimum, overhead
from tests.costs.plain import BUILD, bought, said, shop, timed

SHOP = shop()
EARLIER = (bought(10_000), timed(6_000), bought(500))


def test_overhead_is_a_share_of_purchases_and_another_of_time() -> None:
    rates = overhead.Rates(on_purchases=Share(8, 2), on_labour=Share(14, 2))
    on_parts, on_time = said(overhead.MODULE, BUILD, SHOP, rates, EARLIER)
    assert (on_parts.item, on_parts.per_plate, on_parts.rate, on_parts.per_order) == (
        "on material and parts",
        0,
        rates.on_purchases,
        10_500,
    )
    assert (on_time.item, on_time.per_plate, on_time.rate, on_time.per_order) == ("on time", 0, rates.on_labour, 6_000)


@pytest.mark.parametrize(("of_price", "on_cost"), [("0.20", "0.25"), ("0.5", "1"), ("0.22", "0.282051"), ("0", "0")])
def test_a_margin_of_the_price_is_a_mark_up_on_all_that_came_before(of_price: str, on_cost: str) -> None:
    rates = margin.Rates(Share.read(of_price, "USD"))
    (charge,) = said(margin.MODULE, BUILD, SHOP, rates, EARLIER)
    assert (charge.item, charge.per_plate, charge.per_order) == ("margin", 0, 16_500)
    assert charge.rate == Share.read(on_cost, "USD")


@pytest.mark.parametrize("of_price", ["1", "1.05", "1.2"])
def test_nothing_is_all_margin(of_price: str) -> None:
    with pytest.raises(ValueError, match="of_price must be below 100 %"):
        margin.Rates(Share.read(of_price, "USD"))


def test_nearly_all_of_a_price_may_be_margin() -> None:
    (charge,) = said(margin.MODULE, BUILD, SHOP, margin.Rates(Share.read("99 %", "USD")), EARLIER)
    assert charge.rate == Share(99, 0)


@pytest.mark.parametrize(("least", "missing"), [(16_499, None), (16_500, None), (16_501, 1), (20_000, 3_500)])
def test_an_order_below_the_minimum_is_filled_up_to_it(least: int, missing: int | None) -> None:
    charged = said(minimum.MODULE, BUILD, SHOP, minimum.Rates(order=Sum(least)), EARLIER)
    assert [(one.per_plate, one.per_order, one.rate) for one in charged] == (
        [] if missing is None else [(0, missing, Share(1, 0))]
    )
