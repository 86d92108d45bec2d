"""Rush: a share on what time costs, where the order is in a hurry and the shop keeps hours for that."""

import pytest
from msgspec.structs import replace

from tallyplate.contract import Charge, Percentage, Refusal, Services, Share, ShopData
from tallyplate_plugins.costs.rush import MODULE, Rates
from tests.costs.plain import BUILD, ORDER, bought, said, shop, timed

BASE = shop()
SHOP = replace(BASE, limits=replace(BASE.limits, rush=Percentage(0.3)))
RATES = Rates(Share(25, 2))
EARLIER = (bought(9_000), timed(400), timed(600))


def _rushed(rates: Rates | None = RATES, at: ShopData = SHOP) -> list[Charge]:
    return list(MODULE.charges(BUILD, replace(ORDER, services=Services(rush=True)), at, rates, EARLIER))


def test_an_order_in_its_turn_pays_for_no_rush() -> None:
    assert said(MODULE, BUILD, SHOP, RATES, EARLIER) == []


def test_a_rush_is_a_share_of_what_time_costs_and_of_nothing_that_is_bought() -> None:
    (charge,) = _rushed()
    assert (charge.item, charge.rate) == ("rush, ahead of the queue", Share(25, 2))
    assert (charge.per_plate, charge.per_order) == (0, 1_000)
    assert charge.basis == "of what time costs; up to 30 % of each working day is given to it"


@pytest.mark.parametrize(
    ("rates", "at"), [(None, SHOP), (RATES, replace(SHOP, limits=replace(SHOP.limits, rush=None)))]
)
def test_a_shop_that_hurries_for_nobody_refuses_it(rates: Rates | None, at: ShopData) -> None:
    with pytest.raises(Refusal, match="is not on offer") as refused:
        _rushed(rates, at)
    assert [fault.pointer for fault in refused.value.faults] == ["/services/rush"]
