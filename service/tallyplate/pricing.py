"""The one orchestrator: a build in, priced lines out. Here alone quantities meet rates, and here alone money rounds."""

from collections.abc import Iterable, Mapping, Sequence
from math import floor, isfinite

from msgspec import Struct
from msgspec.structs import replace

from tallyplate.contract import Build, Charge, CostModule, Line, Order, Rate, Share, ShopData, Stage, Sum
from tallyplate.contract.figures import MONEY
from tallyplate.money import rescale
from tallyplate.rates.card import RateCard

HALF_UP = 0.5 + 1e-7
"""Added before a floor: rounds a quantity half up, and takes a tie that binary fractions put just below for a tie."""

WHOLE = Share(1, 0)


class PluginFailure(Exception):  # noqa: N818 - a failure of somebody's, named
    """A cost module that raised, or said something that is no charge: named, so that no total hides it."""

    def __init__(self, module: str, reason: str) -> None:
        super().__init__(f"cost module {module!r} failed: {reason}")
        self.module = module


class Priced(Struct, frozen=True):
    """An order priced whole: every line, the total in minor units, and the build with the blank chosen."""

    lines: tuple[Line, ...]
    total: int
    build: Build


class Modules(Struct, frozen=True):
    """Cost modules in the order that their lines stand: by stage, by their place in it, by name."""

    in_order: tuple[tuple[str, CostModule], ...]

    @classmethod
    def of(cls, modules: Mapping[str, CostModule]) -> "Modules":
        """Put installed modules in order."""
        return cls(tuple(sorted(modules.items(), key=lambda item: (item[1].stage.value, item[1].place, item[0]))))


def price(build: Build, order: Order, shop: ShopData, card: RateCard, modules: Modules) -> Priced:
    """Price an order on each blank that would serve, and keep the cheapest whole.

    The first of equals is kept. Modules that never look at the blank are asked once. Raises `PluginFailure`.
    """
    remembered: dict[str, list[Line]] = {}
    cheapest: Priced | None = None
    for blank in (build.blank, *build.other_blanks):
        cut = build if blank is build.blank else replace(build, blank=blank)
        priced = _price_on_blank(cut, order, shop, card, modules, remembered)
        if cheapest is None or priced.total < cheapest.total:
            cheapest = priced
    assert cheapest is not None  # noqa: S101 - a build has a blank
    return cheapest


def _price_on_blank(
    build: Build, order: Order, shop: ShopData, card: RateCard, modules: Modules, remembered: dict[str, list[Line]]
) -> Priced:
    lines: list[Line] = []
    earlier: tuple[Line, ...] = ()
    stage = Stage.MAKE
    for name, module in modules.in_order:
        if module.stage is not stage:
            stage, earlier = module.stage, tuple(lines)
        if stage is Stage.MAKE and not module.reads_blank:
            if name not in remembered:
                remembered[name] = _lines(name, module, build, order, shop, card, earlier)
            lines += remembered[name]
        else:
            lines += _lines(name, module, build, order, shop, card, earlier)
    return Priced(tuple(lines), sum(line.amount for line in lines), build)


def _lines(
    name: str,
    module: CostModule,
    build: Build,
    order: Order,
    shop: ShopData,
    card: RateCard,
    earlier: tuple[Line, ...],
) -> list[Line]:
    """The lines of one module; whatever it does wrong is named as its failure."""
    lines: list[Line] = []
    try:
        for charge in module.charges(build, order, shop, card.sections.get(name), earlier):
            line = _line(name, charge, card)
            lines.append(line)
            if charge.at_least is not None and line.amount < charge.at_least.minor:
                lines.append(_shortfall(line, charge.at_least, card))
    except PluginFailure:
        raise
    except Exception as error:
        raise PluginFailure(name, f"{type(error).__name__}: {error}") from error
    return lines


def _line(module: str, charge: Charge, card: RateCard) -> Line:
    """Multiply and round one charge: the quantity to its unit's resolution, the product to the minor unit."""
    rate: Rate | None = card.work_centers.get(charge.work_center) if charge.work_center else charge.rate
    if rate is None:
        raise PluginFailure(module, f"{charge.item!r} has neither a rate nor a work centre of the rate card")
    quantity = charge.quantity
    if not (isfinite(quantity) and quantity >= 0):
        raise PluginFailure(module, f"{charge.item!r} has the quantity {quantity}; a quantity is finite and at least 0")
    unit, decimals = rate.unit, rate.quantity_decimals
    if unit is MONEY:
        unit, decimals, counted = card.currency, card.minor_digits, int(quantity)
    else:
        counted = floor(quantity * 10**decimals + HALF_UP)
    amount = rescale(counted * rate.coefficient, decimals + rate.decimals, card.minor_digits, card.rounding)
    return Line(module, charge.item, counted, decimals, unit, rate, amount, charge.work_center, charge.basis)


def _shortfall(line: Line, at_least: Sum, card: RateCard) -> Line:
    """What is missing to the least that an item may cost, as a line that multiplies like every other."""
    missing = at_least.minor - line.amount
    return Line(
        line.module,
        f"{line.item}, up to the minimum",
        missing,
        card.minor_digits,
        card.currency,
        WHOLE,
        missing,
        "",
        "",
    )


def hours(lines: Iterable[Line]) -> dict[str, int]:
    """Time by work centre, in ten-thousandths of an hour, in the order it is first charged."""
    totals: dict[str, int] = {}
    for line in lines:
        if line.work_center:
            totals[line.work_center] = totals.get(line.work_center, 0) + line.quantity
    return totals


def unit_price(total: int, quantity: int) -> int:
    """A total shared evenly, to the nearest minor unit, half up. The total binds."""
    return (2 * total + quantity) // (2 * quantity)


def lead_days(lines: Sequence[Line], build: Build, shop: ShopData) -> int:
    """Working days from order to dispatch: stock, then each work centre's queue and work in turn, then the finish."""
    days = shop.limits.stock_days + shop.finishes[build.finish].days
    for center, charged in hours(lines).items():
        known = shop.work_centers[center]
        days += known.queue + charged / 10_000 / known.capacity
    return floor(days - 1e-9) + 1
