"""Cost modules that each break one law: what a stranger might take for a fair way to charge."""

from collections.abc import Iterable, Iterator
from itertools import count
from typing import Any, Final, NamedTuple

from msgspec import Struct

from tallyplate.contract import (
    CONTRACT,
    Build,
    Charge,
    CostModule,
    Line,
    Order,
    PerOrder,
    PerPiece,
    Share,
    ShopData,
    Stage,
    subtotal,
)

HUNDRED: Final = PerOrder(10000, 2)
"""A hundred of the currency, as often as it is due."""


def credit_for_holes(build: Build, *_: Any) -> Iterable[Charge]:
    holes = sum(group.count for group in build.holes)
    yield Charge("light plates", max(0, 1000 - holes), HUNDRED)


def less_for_more_plates(build: Build, order: Order, *_: Any) -> Iterable[Charge]:
    yield Charge("bother with small orders", 0, PerOrder(1000000, 2), per_order=max(0, 40 - order.quantity))


def all_unit_discount(build: Build, order: Order, *_: Any) -> Iterable[Charge]:
    yield Charge("coat", 1, PerPiece(600000 if order.quantity < 26 else 400000, 2))


def dearer_by_the_lot(build: Build, order: Order, *_: Any) -> Iterable[Charge]:
    yield Charge("overtime", 0, HUNDRED, per_order=order.quantity * (100 if order.quantity >= 500 else 10))


def less_for_length(build: Build, *_: Any) -> Iterable[Charge]:
    yield Charge("handling short plates", 1e6 / build.body.length, HUNDRED)


def less_for_width(build: Build, *_: Any) -> Iterable[Charge]:
    yield Charge("handling narrow plates", 1e6 / build.body.width, HUNDRED)


def first_sheet_that_fits(build: Build, order: Order, shop: ShopData, *_: Any) -> Iterable[Charge]:
    sheets = shop.materials[build.body.material].stock.values()
    longest = next(sheet.longest for sheet in reversed(sheets) if sheet.longest >= build.blank.length)
    yield Charge("a whole sheet", 1 if longest > 3000 else 50, HUNDRED)


def less_for_tight_plates(build: Build, *_: Any) -> Iterable[Charge]:
    yield Charge("explaining wide tolerances", 1e5 * build.position_tolerance, HUNDRED)


def less_for_flat_plates(build: Build, *_: Any) -> Iterable[Charge]:
    yield Charge("shims", 1e5 * build.flatness, HUNDRED)


def less_for_marked_plates(build: Build, *_: Any) -> Iterable[Charge]:
    yield Charge("searching for holes", 9 - len(build.marks), HUNDRED)


class Discount(Struct, frozen=True, forbid_unknown_fields=True):
    """A section of a rate card."""

    discount: Share


def what_the_discount_leaves(
    build: Build, order: Order, shop: ShopData, rates: Discount, earlier: tuple[Line, ...]
) -> Iterable[Charge]:
    left = 10**rates.discount.decimals - rates.discount.coefficient
    yield Charge("mark-up", 0, Share(left, rates.discount.decimals), "", "", subtotal(earlier))


class Lying(PerPiece):
    """A rate that prints another figure than it multiplies with."""

    def __init__(self, coefficient: int, decimals: int) -> None:
        super().__init__(coefficient, decimals)
        self.text = "1.00"


def lying_rate(*_: Any) -> Iterable[Charge]:
    yield Charge("coat", 1, Lying(500, 2))


ASKED: Final = count()


def dearer_each_time(*_: Any) -> Iterator[Charge]:
    yield Charge("coat", next(ASKED), HUNDRED)


class Broken(NamedTuple):
    """A module by its charges, the law it is caught by, and what is said of it."""

    charges: Any
    law: str
    says: str
    rates: type[Struct] | None = None
    stage: Stage = Stage.MAKE

    @property
    def module(self) -> CostModule:
        """The module, to be installed."""
        return CostModule(contract=CONTRACT, stage=self.stage, charges=self.charges, rates=self.rates)


MORE: Final = "more plates must never cost less"
LARGER: Final = "a larger plate must never cost less"
TIGHTER: Final = "a tighter plate must never cost less"

BROKEN: Final = {
    "gives credit for holes": Broken(
        credit_for_holes,
        "plates_with_more_holes",
        r"and with pattern \(.*\) [\d,.]+ \(less in paint\): more holes in the same plate must never cost less",
    ),
    "falls with quantity": Broken(
        less_for_more_plates,
        "more_plates",
        rf"^1 plate of family rectangular, .* costs [\d,.]+ and 2 cost [\d,.]+ \(less in paint\): {MORE}",
    ),
    "gives a discount on all units at a break": Broken(
        all_unit_discount,
        "more_plates",
        rf"^25 plates of family .* cost [\d,.]+ and 26 cost [\d,.]+ \(less in paint\): {MORE}",
    ),
    "is dearer by the piece for large orders": Broken(
        dearer_by_the_lot,
        "times_as_many",
        r"^250 plates of .* and 500 cost [\d,.]+: 2 times as many must never cost more than 2 times as much",
    ),
    "charges less the longer a plate is": Broken(
        less_for_length, "larger_plates", rf"and with length [\d.]+ mm [\d,.]+ \(less in paint\): {LARGER}"
    ),
    "charges less the wider a plate is": Broken(
        less_for_width, "larger_plates", rf"and with width [\d.]+ mm [\d,.]+ \(less in paint\): {LARGER}"
    ),
    "prices by the first sheet that fits": Broken(
        first_sheet_that_fits, "larger_plates", rf"and with length 2394.001 mm [\d,.]+ \(less in paint\): {LARGER}"
    ),
    "charges less for a tighter position": Broken(
        less_for_tight_plates, "tighter_plates", rf"and with position_tolerance [\d.]+ mm [\d,.]+ .*: {TIGHTER}"
    ),
    "charges less for a flatter plate": Broken(
        less_for_flat_plates, "tighter_plates", rf"and with flatness [\d.]+ mm [\d,.]+ \(less in paint\): {TIGHTER}"
    ),
    "charges less for marked edges": Broken(
        less_for_marked_plates,
        "marked_plates",
        r"with marking \(edges bottom\) [\d,.]+ \(less in paint\): more marked edges must never cost less",
    ),
    "reads a discount as a rate": Broken(
        what_the_discount_leaves,
        "higher_rates",
        r"and with paint.discount raised from 0.1 to 0.101 [\d,.]+ \(less in paint\): a higher rate must never",
        Discount,
        Stage.OVERHEAD,
    ),
    "prints another rate than it charges": Broken(
        lying_rate,
        "lines_that_bear_out",
        r"of which coat \(paint\) [\d,.]+ for \d+ x 1.00: a line must be its quantity times its rate",
    ),
    "remembers that it was asked": Broken(
        dearer_each_time,
        "the_same_again",
        r"costs? [\d,.]+ and once more [\d,.]+: the same plate must always cost the same, line by line",
    ),
}
