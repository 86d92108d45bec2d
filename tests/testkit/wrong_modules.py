"""Cost modules that each do wrong in one way; the right one fixes a nameplate on every plate."""

from collections.abc import Callable, Iterable
from datetime import date
from math import ceil
from typing import Any, Final

from msgspec import Struct

from tallyplate.contract import (
    CONTRACT,
    Build,
    Charge,
    CostModule,
    Line,
    Order,
    PerPiece,
    Share,
    ShopData,
    Stage,
    work,
)
from tests.testkit.wrong import Wrong


class Lying(PerPiece):
    """A rate that prints another figure than it multiplies with."""

    def __init__(self, coefficient: int, decimals: int) -> None:
        super().__init__(coefficient, decimals)
        self.text = "1.00"


class Rates(Struct, frozen=True, forbid_unknown_fields=True):
    """A nameplate, the same by the hundred, and what is taken off for friends."""

    each: PerPiece
    by_the_hundred: PerPiece
    off: Share
    lying: Lying


RATES: Final = """
[nameplates]
each = "6.20 USD/piece"
by_the_hundred = "4.10 USD/piece"
off = "20 %"
lying = "5 USD/piece"
"""

Charges = Callable[..., Iterable[Any]]


def right(build: Build, order: Order, shop: ShopData, rates: Rates, earlier: tuple[Line, ...]) -> Iterable[Charge]:
    yield Charge("nameplates", 1, rates.each)


def module(charges: Charges = right, **more: Any) -> CostModule:
    """A module of the making stage that says these charges."""
    given = {"stage": Stage.MAKE, "title": "Nameplates", "rates": Rates, "example_rates": RATES, **more}
    return CostModule(contract=CONTRACT, charges=charges, **given)


RIGHT: Final = module()


def saying(count: Callable[[Build], float]) -> Charges:
    """So many nameplates a plate, by the build."""

    def charges(build: Build, order: Order, shop: ShopData, rates: Rates, *_: Any) -> Iterable[Charge]:
        yield Charge("nameplates", count(build), rates.each)

    return charges


def unknown_center(*_: Any) -> Iterable[Charge]:
    yield work("gluing nameplates", 60, "glue_bench")


def made_up(*_: Any) -> Iterable[Charge]:
    yield Charge("nameplates", 1, PerPiece(500, 2))


def nameless(build: Build, order: Order, shop: ShopData, rates: Rates, *_: Any) -> Iterable[Charge]:
    yield Charge("", 1, rates.each)


SEEN: Final[list[str]] = []


def remembers(build: Build, order: Order, shop: ShopData, rates: Rates, *_: Any) -> Iterable[Charge]:
    SEEN.append(build.body.material)
    yield Charge("nameplates", 1, rates.each)


def all_unit_discount(build: Build, order: Order, shop: ShopData, rates: Rates, *_: Any) -> Iterable[Charge]:
    yield Charge("nameplates", 1, rates.each if order.quantity < 100 else rates.by_the_hundred)


def dearer_by_the_lot(build: Build, order: Order, shop: ShopData, rates: Rates, *_: Any) -> Iterable[Charge]:
    yield Charge("nameplates", 0, rates.each, per_order=order.quantity * (10 if order.quantity >= 500 else 1))


def by_the_order(build: Build, order: Order, shop: ShopData, rates: Rates, *_: Any) -> Iterable[Charge]:
    yield Charge("nameplates", 1, rates.each, per_order=order.quantity)


def discount(build: Build, order: Order, shop: ShopData, rates: Rates, *_: Any) -> Iterable[Charge]:
    left = 1000 - 1000 * rates.off.coefficient // 10**rates.off.decimals
    yield Charge("nameplates", left, rates.each)


def lies(build: Build, order: Order, shop: ShopData, rates: Rates, *_: Any) -> Iterable[Charge]:
    yield Charge("nameplates", 1, rates.lying)


def seconds_as_hours(*_: Any) -> Iterable[Charge]:
    yield Charge("fixing nameplates", 1800, work_center="bench")


def in_lots(build: Build, order: Order, shop: ShopData, rates: Rates, *_: Any) -> Iterable[Charge]:
    yield Charge("boxes of nameplates", 0.1, rates.each, lot=1)


def on_the_first_line(
    build: Build, order: Order, shop: ShopData, rates: Rates, earlier: tuple[Line, ...]
) -> Iterable[Charge]:
    yield Charge("on the first line", 0, rates.off, "", "", earlier[0].amount)


def goes_by_a_set(build: Build, order: Order, shop: ShopData, rates: Rates, *_: Any) -> Iterable[Charge]:
    sides = {"left", "right", "bottom", "top"}
    yield from (Charge(f"nameplate {side}", 1, rates.each) for side in sides)


def reads_the_day(build: Build, order: Order, shop: ShopData, rates: Rates, *_: Any) -> Iterable[Charge]:
    yield Charge("nameplates", 1 if date.today().year > 0 else 2, rates.each)  # noqa: DTZ011


def knows_three_finishes(build: Build, order: Order, shop: ShopData, rates: Rates, *_: Any) -> Iterable[Charge]:
    yield Charge("nameplates", {"plain": 1, "anodized": 1, "black-oxide": 1}[build.finish], rates.each)


def holes(build: Build) -> int:
    return sum(group.count for group in build.holes)


UNSORTED: Final = module(goes_by_a_set)
"""A global, so that another process finds it."""

WRONG: Final = {
    "counts to no number": Wrong(
        module(saying(lambda _: float("nan"))), "charges", r"'nameplates' has per_plate=nan, .*finite and at least 0"
    ),
    "gives money back": Wrong(
        module(saying(lambda _: -1.0)), "charges", r"has per_plate=-1\.0, less than nothing; .*there are no credits"
    ),
    "has a line without text": Wrong(module(nameless), "charges", r"a charge has no item"),
    "fails on a finish": Wrong(
        module(knows_three_finishes),
        "charges",
        r"charging raises KeyError: 'hard-anodized' \(wrong_modules\.py line \d+\)",
    ),
    "works at a work centre that nobody has": Wrong(
        module(unknown_center), "work_centers", r"the work centre 'glue_bench', which nobody knows; .*example_rates"
    ),
    "makes up a rate": Wrong(
        module(made_up),
        "own_rates",
        r"'nameplates' is charged at PerPiece\(5\.00\), which comes from no figure of its "
        r"section \[nameplates\].*Finance must be able to change every price",
    ),
    "makes up a rate without a section": Wrong(
        module(made_up, rates=None, example_rates=""), "own_rates", r"the module declares no rates"
    ),
    "takes seconds for hours": Wrong(
        module(seconds_as_hours, work_centers=("bench",)), "dimension", r"takes 1800 hours a plate: .*are these seconds"
    ),
    "prices lots and does not say so": Wrong(module(in_lots), "dimension", r"charged in whole lots.*whole_lots=True"),
    "reads the day": Wrong(
        module(reads_the_day),
        "reads_no_clock",
        r"charging reaches the clock \(datetime\.date\.today, called from wrong_m",
    ),
    "keeps what it saw": Wrong(
        module(remembers), "keeps_nothing", r"changes the global SEEN of tests\.testkit\.wrong_modules"
    ),
    "goes by the order of a set": Wrong(UNSORTED, "says_the_same_elsewhere", r"Sets have an order of their"),
    "reads the blank that it said it does not read": Wrong(
        module(saying(lambda build: ceil(build.blank.length / 10)), reads_blank=False),
        "reads_no_blank",
        r"with another blank it charges otherwise, .*look at build\.body instead",
    ),
    "reads the order that it said it does not read": Wrong(
        module(by_the_order, reads_order=False),
        "reads_no_order",
        r"with another order it charges otherwise, .*give per_plate and per_order",
    ),
    "goes by the place of a line": Wrong(
        module(on_the_first_line, stage=Stage.OVERHEAD),
        "any_order_of_modules",
        r"the lines of earlier stages in another order it charges otherwise, .*never go by their place",
    ),
    "prints another rate than it charges": Wrong(module(lies), "lines_bear_out", r"a line must be its quantity times"),
    "is cheaper for a longer plate": Wrong(
        module(saying(lambda build: 1e9 // build.body.length)), "greater_never_cheaper", r"its blank larger by as much"
    ),
    "is cheaper for a larger blank": Wrong(
        module(saying(lambda build: 1e6 // build.blank.length)), "greater_never_cheaper", r"with a .*larger"
    ),
    "is cheaper for a tighter plate": Wrong(
        module(saying(lambda build: 1e5 * build.position_tolerance)),
        "greater_never_cheaper",
        r"with a tighter position",
    ),
    "is cheaper for a marked plate": Wrong(
        module(saying(lambda build: 99 - len(build.marks))), "greater_never_cheaper", r"with more characters"
    ),
    "gives credit for chips": Wrong(
        module(saying(lambda build: max(0, 100_000 - holes(build)))),
        "more_holes_never_cheaper",
        r"with more holes an order of \d+ costs .* instead of .*give no credit for chips",
    ),
    "gives a discount on all units": Wrong(
        module(all_unit_discount),
        "more_plates_never_cheaper",
        r"99 plates of .* 100 cost .*graduated: give PriceBreaks",
    ),
    "is dearer by the piece for large orders": Wrong(
        module(dearer_by_the_lot), "times_as_many_never_dearer", r"2 times as many must never cost more.*let the engine"
    ),
    "reads a discount as a rate": Wrong(
        module(discount), "higher_rates_never_cheaper", r"with nameplates\.off raised from 0\.2 .*is a discount: state"
    ),
    "walks every hole": Wrong(
        module(saying(lambda build: sum(1 for group in build.holes for _ in group.layout.positions()))),
        "work_of_holes",
        r"the work grows with the holes.*group\.count",
    ),
}
