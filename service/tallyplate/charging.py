"""Charges into lines: each charge gets its rate, each quantity its resolution, each product its one rounding.

Here alone quantities meet rates, and here alone money rounds.
"""

from collections.abc import Iterator
from math import ceil, floor

from msgspec import Struct

from tallyplate.columns.parting import apart, union
from tallyplate.contract import (
    Build,
    Charge,
    CostModule,
    Item,
    Line,
    Order,
    PriceBreaks,
    Rate,
    Refusal,
    Share,
    ShopData,
)
from tallyplate.contract.figures import MONEY
from tallyplate.lattice import GUARD
from tallyplate.money import EXACT_AS_FLOAT, POWERS, rescale
from tallyplate.rates.card import RateCard

HALF_UP = 0.5 + 1e-7
"""Added before a floor: rounds a quantity half up, and takes a tie that binary fractions put just below for a tie."""

MOST = 1e12
"""Beyond any quantity that a plate has; also keeps out what is not finite."""

WHOLE = Share(1, 0)


class PluginFailure(Exception):  # noqa: N818 - a failure of somebody's, named
    """A family or cost module that raised, or said something that is no charge: named, so that no total hides it."""

    def __init__(self, module: str, reason: str, kind: str = "cost module") -> None:
        super().__init__(f"{kind} {module!r} failed: {reason}")
        self.kind = kind
        self.module = module


class Ready(Struct, frozen=True, gc=False):
    """A charge with its rate found: all that is needed to make its lines for any quantity.

    A quantity is counted in 1 / `scale` of its unit; the product with the rate has `decimals` decimals.
    """

    item: Item
    per_plate: float
    per_order: float
    lot: float
    at_least: int
    breaks: PriceBreaks | None
    scale: int
    coefficient: int
    decimals: int
    common: bool


def _alike(one: Ready) -> tuple[object, ...]:
    of = one.item
    return of.item, of.unit, of.work_center, one.scale, one.coefficient, one.decimals, one.common, id(one.breaks)


@apart(union(_alike, ("per_plate", "per_order", "lot", "at_least")))
def ready_charges(
    name: str, module: CostModule, build: Build, order: Order, shop: ShopData, card: RateCard, earlier: tuple[Line, ...]
) -> tuple[Ready, ...]:
    """The charges of one module with their rates; whatever it does wrong is named as its failure.

    An optional one may refuse what an order asks for besides its plates.
    """
    try:
        charges = module.charges(build, order, shop, card.sections.get(name), earlier)
        return tuple([_with_rate(name, charge, shop, card) for charge in charges])
    except PluginFailure:
        raise
    except (Exception, SystemExit) as error:
        if module.optional and isinstance(error, Refusal):
            raise
        raise PluginFailure(name, f"{type(error).__name__}: {error}") from error


def _with_rate(name: str, charge: Charge, shop: ShopData, card: RateCard) -> Ready:
    """A charge with its rate: its own, a price list's first, or its work centre's."""
    rate, breaks = charge.rate, None
    if charge.work_center:
        rate = card.work_centers.get(charge.work_center)
    elif isinstance(rate, PriceBreaks):
        breaks, rate = rate, rate.breaks[0].price
    if not isinstance(rate, Rate):
        raise PluginFailure(name, f"{charge.item!r} has neither a rate nor a work centre of the rate card")
    prices = [step.price for step in breaks.breaks] if breaks else [rate]
    for price in prices:
        if price.coefficient < 0 or price.currency not in {"", card.currency}:
            found = f"{price.text} {price.currency or card.currency}"
            raise PluginFailure(name, f"{charge.item!r} has the rate {found}; accepted: at least 0 {card.currency}")
    if type(charge.item) is not str or type(charge.basis) is not str:
        raise PluginFailure(name, f"{charge.item!r} and its basis are not both text")
    if charge.work_center and charge.work_center not in shop.work_centers:
        raise PluginFailure(name, f"{charge.item!r} is charged to {charge.work_center!r}, which the shop has not")
    per_plate, per_order, lot = charge.per_plate, charge.per_order, charge.lot
    most = EXACT_AS_FLOAT if rate.unit is MONEY else MOST
    if not (0 <= per_plate < most and 0 <= per_order < most and 0 <= lot < most):
        quantities = f"{per_plate} a plate, {per_order} an order, lots of {lot}"
        raise PluginFailure(name, f"{charge.item!r} has the quantity {quantities}; accepted: finite and at least 0")
    # A share's quantity comes in minor units already, and is shown in the currency.
    money = rate.unit is MONEY
    unit, decimals = (card.currency, card.minor_digits) if money else (rate.unit, rate.quantity_decimals)
    item = Item(name, charge.item, unit, decimals, rate, charge.work_center, charge.basis)
    at_least = charge.at_least.minor if charge.at_least else 0
    scale = 1 if money else POWERS[decimals]
    coefficient, decimals = rate.coefficient, decimals + rate.decimals
    return Ready(item, per_plate, per_order, lot, at_least, breaks, scale, coefficient, decimals, charge.common)


@apart(
    union(
        lambda line: (line.of.module, line.of.item, line.of.unit, line.of.rate, line.of.work_center),
        ("quantity", "amount"),
    )
)
def lines_of(ready: tuple[Ready, ...], plates: int, card: RateCard) -> list[Line]:
    """Multiply and round: each quantity to its unit's resolution, each product to the minor unit."""
    lines: list[Line] = []
    digits, rounding = card.minor_digits, card.rounding
    for one in ready:
        # A slack that grows with the order, lest twice as many plates need more than twice as many lots.
        lots = ceil(plates * one.per_plate * (1 - GUARD)) if one.lot else 0
        quantity = lots * one.lot if one.lot else plates * one.per_plate + one.per_order
        counted = floor(quantity * one.scale + HALF_UP)
        if one.breaks:
            lines += _graduated(one.item, one.breaks, counted, card)
            continue
        amount = rescale(counted * one.coefficient, one.decimals, digits, rounding)
        lines.append(Line(one.item, counted, amount))
        if amount < one.at_least:
            lines.append(shortfall(one.item, one.at_least - amount, card))
    return lines


def _graduated(item: Item, breaks: PriceBreaks, count: int, card: RateCard) -> Iterator[Line]:
    """A line for each step of a price list that the count reaches."""
    for rate, first, last in breaks.steps(count):
        pieces = last - first + 1
        amount = rescale(pieces * rate.coefficient, rate.decimals, card.minor_digits, card.rounding)
        basis = f"{item.basis}; pieces {first} to {last}" if count > pieces else item.basis
        yield Line(Item(item.module, item.item, item.unit, item.decimals, rate, "", basis), pieces, amount)


def shortfall(item: Item, missing: int, card: RateCard) -> Line:
    """What is missing to the least that an item may cost, as a line that multiplies like every other."""
    title = f"{item.item}, up to the minimum"
    return Line(Item(item.module, title, card.currency, card.minor_digits, WHOLE, "", ""), missing, missing)
