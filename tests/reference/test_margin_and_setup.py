"""Margin, overhead and the sharing of setup against cost accounting's definitions (derived, common practice)."""

from collections.abc import Iterable
from datetime import date

import pytest
from msgspec.structs import replace

from tallyplate.contract import CONTRACT, Charge, CostModule, Order, PerPiece, Seconds, Share, ShopData, Stage
from tallyplate.installation import Installation
from tallyplate.pricing import Modules, price, unit_price
from tallyplate.rates.card import RateCard
from tallyplate_plugins.costs.margin import Rates as MarginRates
from tallyplate_plugins.costs.setup import Figures as Setup
from tests.reference.plates import built

TODAY = date(2026, 6, 1)


def costing(cents: int) -> CostModule:
    """A module that makes each plate cost so much, and nothing else."""

    def charges(*_: object) -> Iterable[Charge]:
        yield Charge("all of it", 1, PerPiece(cents, 2))

    return CostModule(contract=CONTRACT, stage=Stage.MAKE, charges=charges)


@pytest.mark.parametrize(
    ("cost", "margin", "selling_price"),
    [
        ("100.00", "20 %", "125.00"),  # a margin of 20 % is a mark-up of 25 %
        ("100.00", "25 %", "133.33"),  # of 25 %, of a third
        ("100.00", "50 %", "200.00"),  # of 50 %, of 100 %
        ("780.00", "22 %", "1000.00"),
        ("100.00", "0 %", "100.00"),
    ],
)
def test_a_margin_is_a_share_of_the_selling_price_and_no_mark_up_on_cost(
    cost: str, margin: str, selling_price: str, installation: Installation, shop: ShopData, card: RateCard
) -> None:
    # price = cost / (1 - margin) (derived from the definition of margin).
    modules = Modules.of({"cost": costing(int(cost.replace(".", ""))), "margin": installation.modules["margin"]})
    rates = MarginRates(Share.read(margin, "USD"))
    with_margin = replace(card, sections={**card.sections, "margin": rates})
    sold = price(built(installation, shop), Order(1, TODAY), shop, with_margin, modules)
    assert sold.total == int(selling_price.replace(".", ""))


@pytest.mark.parametrize(("quantity", "each"), [(1, "150.00"), (10, "42.00"), (100, "31.20")])
def test_setting_up_is_shared_by_the_plates_of_an_order(
    quantity: int, each: str, installation: Installation, shop: ShopData, card: RateCard
) -> None:
    # 120.00 to set up and 30.00 a piece: 150.00 for one, 42.00 each for ten, 31.20 for a hundred (derived).
    # At 96 USD/h and two clampings, that is 37.5 min to set each up and 9.375 min to load each.
    nothing = Seconds(0)
    nine = Seconds(9.375 * 60)
    figures = Setup(nothing, nothing, Seconds(37.5 * 60), loading=nine, hoisting=nothing, indexing=nothing)
    example = replace(shop, sections={**shop.sections, "setup": figures})
    modules = Modules.of({"setup": installation.modules["setup"]})
    plate = built(installation, example)
    assert (plate.setups, card.work_centers["mill"].text) == (2, "96.00")
    total = price(plate, Order(quantity, TODAY), example, card, modules).total
    assert unit_price(total, quantity) == int(each.replace(".", ""))


def test_overhead_is_charged_on_purchases_and_on_time_apart(
    installation: Installation, shop: ShopData, card: RateCard
) -> None:
    # The demonstration's card: 8 % on what is bought, 14 % on time (absorption costing; common practice, no source).
    modules = Modules.of({name: installation.modules[name] for name in ("stock", "overhead")})
    metal, cuts, sawing, bought, timed = price(built(installation, shop), Order(1, TODAY), shop, card, modules).lines
    assert bought.amount == round((metal.amount + cuts.amount) * 0.08)
    assert timed.amount == round(sawing.amount * 0.14)
