"""Each law is broken by a cost module meant to break it, and the counter-example says how; good data break none."""

import re
from itertools import islice
from pathlib import Path

import pytest

from tallyplate import proof
from tallyplate.contract import Build, Charge, CostModule, Order, PerPiece, Stage
from tallyplate.installation import Installation, compose
from tests.misbehaving import module
from tests.plates import DATA, installation
from tests.proof.bare import bench, only
from tests.proof.lawbreakers import BROKEN, Broken
from tests.rates.folder import write_data

LAWS = {law.__name__: law for law in proof.LAWS}


def with_module(paint: CostModule, data: Path = DATA) -> Installation:
    """What is installed, and a module of the name `paint`."""
    here = installation()
    return compose(here.families, {**here.modules, "paint": paint}, data)


@pytest.mark.parametrize("broken", BROKEN.values(), ids=BROKEN)
def test_a_module_that_breaks_a_law_is_caught_by_that_law_with_a_counter_example(
    tmp_path: Path, broken: Broken
) -> None:
    write_data(tmp_path, card={"paint": {"discount": "10 %"}} if broken.rates else {})
    found = next(LAWS[broken.law](bench(with_module(broken.module, tmp_path))), "")
    assert re.search(broken.says, found), found


def test_every_law_is_broken_by_some_module() -> None:
    assert {broken.law for broken in BROKEN.values()} == set(LAWS)


def test_a_module_that_fails_is_named_and_nothing_more_is_tried() -> None:
    message = "the drill broke"

    def fails(*_: object) -> list[Charge]:
        raise RuntimeError(message)

    installed = with_module(module(fails))
    (told,) = list(proof.broken_laws(installed, installed.cards[0], installed.shops[0]))
    assert told.endswith(": cost module 'paint' failed: RuntimeError: the drill broke")


def test_one_cent_less_is_less(tmp_path: Path) -> None:
    def charges(build: Build, order: Order, *_: object) -> list[Charge]:
        return [Charge("coat", 0, PerPiece(1, 2), per_order=1000 - (order.quantity > 25))]

    found = next(LAWS["more_plates"](bench(only(module(charges), tmp_path))), "")
    assert "cost 10.00 and 26 cost 9.99 (less in paint): more plates must never cost less" in found


@pytest.mark.parametrize(
    "charge",
    [
        Charge("part of a jar of paint", 0.4, PerPiece(2000, 2)),
        Charge("a third of a cent", 1, PerPiece(333333, 8)),
        Charge("boxes for seven", 1 / 7, PerPiece(900, 2), lot=1),
        Charge("once an order", 0, PerPiece(12345, 2), per_order=1),
    ],
    ids=lambda charge: charge.item,
)
@pytest.mark.parametrize("stage", [Stage.MAKE, Stage.MARGIN, Stage.ORDER])
def test_rounding_and_whole_lots_break_no_law_of_quantities(tmp_path: Path, charge: Charge, stage: Stage) -> None:
    fair = bench(only(module(lambda *_: (charge,), stage), tmp_path))
    assert not [told for law in ("more_plates", "times_as_many") for told in islice(LAWS[law](fair), 1)]


def test_a_charge_that_ignores_length_breaks_no_law_for_as_much_is_not_less() -> None:
    fair = bench(with_module(module(lambda *_: (Charge("a fee", 1, PerPiece(99999, 2)),))))
    assert not list(islice(LAWS["larger_plates"](fair), 1))
