"""What plates of one order share: price breaks, whole lots, minima, what is common, and shares of the whole."""

from collections.abc import Callable, Iterable
from datetime import date
from typing import Any

import pytest
from msgspec.structs import replace

from tallyplate.contract import (
    Blank,
    Break,
    Build,
    Charge,
    CostModule,
    Order,
    PerPiece,
    PriceBreaks,
    Share,
    Stage,
    Sum,
    purchases,
    subtotal,
    work,
)
from tallyplate.pricing import Modules, work_out
from tallyplate.sets.engine import Kind, SetPriced, price_kinds
from tests.costs.plain import BUILD, shop
from tests.plates import installation

CARD = installation().cards[0]
SHOP = shop()
PIECE = PerPiece(100, 2)
THICKER = replace(BUILD, body=replace(BUILD.body, thickness=40.0))
LIST = PriceBreaks((Break(1, PerPiece(900, 2)), Break(11, PerPiece(500, 2))))

Says = Callable[[Build], Iterable[Charge]]


def _module(says: Says, stage: Stage = Stage.MAKE) -> CostModule:
    return CostModule(contract=1, stage=stage, charges=lambda build, *_: says(build))


def _set(modules: dict[str, CostModule], *orders: tuple[Build, int]) -> SetPriced:
    every = Modules.of(modules)
    return price_kinds(
        [Kind(work_out(build, SHOP, CARD, every), Order(quantity, date(2026, 6, 1))) for build, quantity in orders]
    )


def _lines(says: Says, *quantities: int) -> list[tuple[str, int, int, tuple[int, ...]]]:
    """Each line's item, quantity, amount and kinds, of so many plain and so many thicker plates."""
    priced = _set({"paint": _module(says)}, *zip((BUILD, THICKER), quantities, strict=True))
    return [(one.line.of.item, one.line.quantity, one.line.amount, one.kinds) for one in priced.lines]


def test_pieces_are_counted_over_the_whole_order_so_that_it_reaches_a_break_that_none_reaches_alone() -> None:
    assert _lines(lambda _: [Charge("bushings", 4, LIST)], 2, 3) == [
        ("bushings", 10, 9_000, (0, 1)),
        ("bushings", 10, 5_000, (0, 1)),
    ]


def test_another_price_list_or_another_item_is_counted_apart() -> None:
    dearer = PriceBreaks((Break(1, PerPiece(950, 2)), Break(11, PerPiece(500, 2))))

    def charges(build: Build) -> list[Charge]:
        thin = build is not THICKER and build.body.thickness == BUILD.body.thickness
        return [Charge("bushings", 4, LIST if thin else dearer), Charge(f"screws {build.body.thickness}", 4, LIST)]

    assert [line[3] for line in _lines(charges, 2, 2)] == [(0,), (0,), (1,), (1,)]


def test_whole_lots_are_filled_by_all_plates_of_the_order() -> None:
    def crates(_: Build) -> list[Charge]:
        return [Charge("crates", 0.4, PIECE, lot=1), Charge("closing", 0.4, work_center="mill", lot=0.25)]

    assert _lines(crates, 1, 1) == [("crates", 1, 100, (0, 1)), ("closing", 2_500, 2_400, (0, 1))]
    assert _lines(crates, 2, 1) == [("crates", 2, 200, (0, 1)), ("closing", 5_000, 4_800, (0, 1))]


def test_a_minimum_is_held_against_what_the_kinds_come_to_together() -> None:
    def coat(_: Build) -> list[Charge]:
        return [Charge("coat", 3, PIECE, at_least=Sum(1_000))]

    assert _lines(coat, 1, 2) == [
        ("coat", 3, 300, (0,)),
        ("coat", 6, 600, (1,)),
        ("coat, up to the minimum", 100, 100, (0, 1)),
    ]
    assert [line[2] for line in _lines(coat, 2, 2)] == [600, 600]


def test_what_an_order_takes_is_due_for_each_kind_unless_it_is_common() -> None:
    def setting(build: Build) -> list[Charge]:
        once = 1800 * (2 if build.body.thickness > BUILD.body.thickness else 1)
        return [work("programming", 0, "mill", once=once), work("setting up", 0, "mill", once=once, common=True)]

    assert _lines(setting, 5, 1) == [
        ("programming", 5_000, 4_800, (0,)),
        ("setting up", 10_000, 9_600, (0, 1)),
        ("programming", 10_000, 9_600, (1,)),
    ]


def test_charges_of_one_name_within_a_plate_go_together_by_their_turns() -> None:
    def twice(build: Build) -> list[Charge]:
        return [Charge("bushings", 3, LIST), Charge("bushings", 2, LIST)]

    assert _lines(twice, 1, 1) == [("bushings", 6, 5_400, (0, 1)), ("bushings", 4, 3_600, (0, 1))]


def test_a_share_is_taken_once_of_the_lines_of_the_whole_order_and_borne_by_what_each_kind_bears() -> None:
    def fee(build: Build, order: Any, shop: Any, rates: Any, earlier: Any) -> list[Charge]:
        assert subtotal(earlier) == purchases(earlier) == 400
        return [Charge("fee", 0, Share(25, 2), per_order=subtotal(earlier))]

    modules = {
        "paint": _module(lambda _: [Charge("coat", 1, PIECE)]),
        "fee": CostModule(contract=1, stage=Stage.OVERHEAD, charges=fee),
    }
    priced = _set(modules, (BUILD, 3), (THICKER, 1))
    assert [(one.line.amount, one.borne) for one in priced.lines] == [(300, (300,)), (100, (100,)), (100, (75, 25))]
    assert priced.borne() == [375, 125]


def test_a_later_charge_by_the_plate_is_due_for_each_kind() -> None:
    modules = {"label": _module(lambda _: [Charge("label", 1, PIECE)], Stage.MARGIN)}
    assert [one.line.amount for one in _set(modules, (BUILD, 3), (THICKER, 2)).lines] == [300, 200]


def test_shared_pieces_are_borne_by_how_many_each_kind_takes() -> None:
    def bushings(build: Build) -> list[Charge]:
        each = 3 if build.body.thickness == BUILD.body.thickness else 1
        return [Charge("bushings", each, LIST, basis=f"{each} a plate")]

    (one,) = _set({"paint": _module(bushings)}, (BUILD, 2), (THICKER, 2)).lines
    assert (one.line.amount, one.borne) == (7_200, (5_400, 1_800))
    assert one.line.of.basis == "counted over 2 kinds of plates"


def test_lines_stand_module_by_module() -> None:
    modules = {name: _module(lambda _: [Charge("coat", 1, PIECE)]) for name in ("a", "b")}
    priced = _set(modules, (BUILD, 1), (THICKER, 1))
    assert [(one.line.of.module, one.kinds) for one in priced.lines] == [
        ("a", (0,)), ("a", (1,)), ("b", (0,)), ("b", (1,))
    ]  # fmt: skip


@pytest.mark.parametrize(("alone", "form"), [(True, "plate"), (False, "thin")])
def test_a_kind_is_cut_from_the_blank_that_is_cheapest_before_a_minimum_order(alone: bool, form: str) -> None:
    """Alone both blanks come to the minimum, and the first is kept; beside another plate the cheaper one counts."""
    two = replace(BUILD, other_blanks=(Blank("thin", 310.0, 210.0, 22.0),))

    def metal(build: Build) -> list[Charge]:
        return [Charge("metal", 2 if build.blank.form == "plate" else 1, PIECE)]

    def least(build: Build, order: Any, shop: Any, rates: Any, earlier: Any) -> list[Charge]:
        return [Charge("up to the minimum order", 0, Share(1, 0), per_order=max(0, 1_000 - subtotal(earlier)))]

    modules = {"stock": _module(metal), "least": CostModule(contract=1, stage=Stage.ORDER, charges=least)}
    others = () if alone else ((THICKER, 20),)
    priced = _set(modules, (two, 1), *others)
    assert priced.builds[0].blank.form == form
