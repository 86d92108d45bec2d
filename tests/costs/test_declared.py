"""What each cost module declares of itself: the work centres that it charges and nothing else."""

from importlib import import_module
from pkgutil import iter_modules

import pytest
from msgspec.structs import replace

from tallyplate.contract import Hardware, Order, Stage
from tallyplate.testkit.module_trial import SERVICES
from tallyplate_plugins import costs
from tests.costs.plain import ORDER, bought, timed
from tests.plates import built, installation

HERE = installation()
WORK_CENTERS = {
    "stock": {"saw"},
    "supplied": {"inspection"},
    "reworking": {"mill", "bench"},
    "squaring": {"mill", "grinder"},
    "holes": {"mill"},
    "inserts": {"bench"},
    "marking": {"mill"},
    "finishing": set(),
    "mounting": {"mill", "bench"},
    "features": {"mill", "programming"},
    "handling": {"bench"},
    "spares": {"bench"},
    "inspection": {"inspection"},
    "setup": {"programming", "mill"},
    "packing": {"bench"},
    "export": {"bench"},
    "paper": {"inspection"},
    "matching": {"inspection"},
    "rush": set(),
    "overhead": set(),
    "margin": set(),
    "minimum": set(),
}
# Ground for its position, pinned, marked, bushed, milled and with handles: it takes something from every module.
SLOT = {"feature": "slot", "start": {"x": "200 mm", "y": "200 mm"}, "end": {"x": "260 mm", "y": "200 mm"}}
FEATURED = {"/plate/features": [SLOT | {"width": "16 mm"}], "/plate/handles": "one_pair"}
PLATE = built({"/plate/position_tolerance": "0.01 mm", **FEATURED})
SERVED = replace(ORDER, services=SERVICES)
SERVING = {"export", "matching", "paper", "spares"}
"""Modules that charge what an order asks for besides its plates, and nothing else."""

OPTIONAL = SERVING | {"features", "handling", "reworking", "rush", "supplied"}
"""Modules without whose sections plates are priced as ever."""


def test_the_modules_are_those_of_this_table() -> None:
    assert set(HERE.modules) == set(WORK_CENTERS)


@pytest.mark.parametrize("name", WORK_CENTERS)
def test_a_module_declares_every_work_centre_that_it_charges(name: str) -> None:
    module, shop, card = HERE.modules[name], HERE.shops[-1], HERE.cards[-1]
    blank = replace(PLATE.blank, supplied=name == "supplied", existing=name == "reworking")
    plate = replace(PLATE, blank=blank, replaced=(Hardware("bushing", "M12", 4),))
    charges = module.charges(plate, SERVED, shop, card.sections.get(name), (bought(100), timed(100)))
    charged = {charge.work_center for charge in charges} - {""}
    assert set(module.work_centers) == charged == WORK_CENTERS[name]


def test_only_packing_of_either_kind_prices_whole_lots_and_few_modules_read_the_blank() -> None:
    assert {name for name, module in HERE.modules.items() if module.whole_lots} == {"packing", "export"}
    reading = {name for name, module in HERE.modules.items() if module.reads_blank}
    assert reading == {"stock", "supplied", "reworking", "squaring", "paper"}


def test_what_a_shop_need_not_offer_is_optional_and_nothing_else() -> None:
    assert {name for name, module in HERE.modules.items() if module.optional} == OPTIONAL


def test_a_module_of_the_making_stage_says_the_same_to_any_order() -> None:
    for name, module in HERE.modules.items():
        if module.stage is Stage.MAKE:
            assert module.reads_order == (name in SERVING), name
            alone, hundred = (
                list(
                    module.charges(
                        PLATE, Order(quantity, ORDER.as_of), HERE.shops[-1], HERE.cards[-1].sections.get(name), ()
                    )
                )
                for quantity in (1, 100)
            )
            assert alone == hundred, name


SHIPPED = [f"{costs.__name__}.{name}" for _, name, _ in iter_modules(costs.__path__)]


@pytest.mark.parametrize("name", [*SHIPPED, "tallyplate_plugins.machining"])
def test_a_file_of_the_cost_model_says_where_its_formulas_come_from(name: str) -> None:
    words = " ".join((import_module(name).__doc__ or "").split())
    assert any(source in words for source in ("published: ", "common practice, no source", "from memory"))
