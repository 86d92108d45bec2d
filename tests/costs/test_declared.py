"""What each cost module declares of itself: the work centres that it charges and nothing else."""

import pytest

from tallyplate.contract import Order, Stage
from tests.costs.plain import ORDER, bought, timed
from tests.plates import built, installation

HERE = installation()
WORK_CENTERS = {
    "stock": {"saw"},
    "squaring": {"mill", "grinder"},
    "holes": {"mill"},
    "inserts": {"bench"},
    "marking": {"mill"},
    "finishing": set(),
    "mounting": {"mill", "bench"},
    "inspection": {"inspection"},
    "setup": {"programming", "mill"},
    "packing": {"bench"},
    "overhead": set(),
    "margin": set(),
    "minimum": set(),
}
# Ground for its position, pinned, marked and bushed: it takes something from every module.
PLATE = built({"/plate/position_tolerance": "0.01 mm"})


def test_the_modules_are_those_of_this_table() -> None:
    assert set(HERE.modules) == set(WORK_CENTERS)


@pytest.mark.parametrize("name", WORK_CENTERS)
def test_a_module_declares_every_work_centre_that_it_charges(name: str) -> None:
    module, shop, card = HERE.modules[name], HERE.shops[-1], HERE.cards[-1]
    charges = module.charges(PLATE, ORDER, shop, card.sections.get(name), (bought(100), timed(100)))
    charged = {charge.work_center for charge in charges} - {""}
    assert set(module.work_centers) == charged == WORK_CENTERS[name]


def test_only_packing_prices_whole_lots_and_only_stock_and_squaring_read_the_blank() -> None:
    assert [name for name, module in HERE.modules.items() if module.whole_lots] == ["packing"]
    reading = {name for name, module in HERE.modules.items() if module.reads_blank}
    assert reading == {"stock", "squaring"}


def test_a_module_of_the_making_stage_says_the_same_to_any_order() -> None:
    for name, module in HERE.modules.items():
        if module.stage is Stage.MAKE:
            assert not module.reads_order, name
            alone, hundred = (
                list(
                    module.charges(
                        PLATE, Order(quantity, ORDER.as_of), HERE.shops[-1], HERE.cards[-1].sections.get(name), ()
                    )
                )
                for quantity in (1, 100)
            )
            assert alone == hundred, name
