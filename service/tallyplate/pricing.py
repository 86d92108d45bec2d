"""The one orchestrator: a build in, priced lines out. Here alone quantities meet rates, and here alone money rounds.

Two steps. `work_out` asks every module what a plate takes, on each blank that would serve; `price` turns that and an
order into lines, and keeps the cheapest whole. The first step knows no quantity, so its result may be kept.
"""

from collections.abc import Iterable, Iterator, Mapping
from math import ceil, floor

from msgspec import Struct
from msgspec.structs import replace

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
    Stage,
)
from tallyplate.contract.figures import MONEY
from tallyplate.contract.services import NO_SERVICES
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


class Modules(Struct, frozen=True):
    """Cost modules in the order that their lines stand: by stage, by their place in it, by name."""

    in_order: tuple[tuple[str, CostModule], ...]

    @classmethod
    def of(cls, modules: Mapping[str, CostModule]) -> "Modules":
        """Put installed modules in order."""
        return cls(tuple(sorted(modules.items(), key=lambda item: (item[1].stage.value, item[1].place, item[0]))))


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


class Part(Struct, frozen=True):
    """What one module said of a plate; `ready` is None where it must be asked for each order.

    One that is `on_request` is asked only for an order with services, so that a plain one is priced as fast without.
    """

    name: str
    module: CostModule
    ready: tuple[Ready, ...] | None
    on_request: bool = False


class Work(Struct, frozen=True):
    """What a plate takes, on each blank that would serve, under one rate card and one version of the shop data."""

    builds: tuple[Build, ...]
    parts: tuple[tuple[Part, ...], ...]
    shop: ShopData
    card: RateCard


class Priced(Struct, frozen=True):
    """An order priced whole: every line, the total in minor units, and the build on the blank chosen."""

    lines: tuple[Line, ...]
    total: int
    build: Build


def work_out(build: Build, shop: ShopData, card: RateCard, modules: Modules) -> Work:
    """Ask every module of the making stage that needs no order what a plate takes. Raises `PluginFailure`."""
    blanks = (build.blank, *build.other_blanks)
    builds = tuple(replace(build, blank=blank, other_blanks=()) for blank in blanks)
    no_order = Order(1, shop.effective_from)
    parts: list[list[Part]] = []
    for name, module in modules.in_order:
        waits = module.reads_order or module.stage is not Stage.MAKE
        asked = builds if module.reads_blank and not waits else builds[:1]
        said = [
            Part(
                name,
                module,
                None if waits else _ready(name, module, cut, no_order, shop, card, ()),
                module.optional and module.reads_order,
            )
            for cut in asked
        ]
        parts.append(said * (len(builds) // len(said)))
    on_blanks = tuple([tuple([said[blank] for said in parts]) for blank in range(len(builds))])
    return Work(builds, on_blanks, shop, card)


def price(build: Build, order: Order, shop: ShopData, card: RateCard, modules: Modules) -> Priced:
    """Price an order of a build in one go. Raises `PluginFailure`."""
    return price_work(work_out(build, shop, card, modules), order)


def price_work(work: Work, order: Order) -> Priced:
    """Price an order on each blank and keep the cheapest whole, the first of equals. Raises `PluginFailure`."""
    alike: dict[str, list[Line]] = {}
    priced = [_on_blank(build, parts, order, work, alike) for build, parts in zip(work.builds, work.parts, strict=True)]
    return min(priced, key=lambda one: one.total)


def _on_blank(build: Build, parts: tuple[Part, ...], order: Order, work: Work, alike: dict[str, list[Line]]) -> Priced:
    """Price an order on one blank; the lines that no blank changes are taken over from the one before."""
    lines: list[Line] = []
    earlier: tuple[Line, ...] = ()
    stage = Stage.MAKE
    plain = order.services is NO_SERVICES
    for part in parts:
        if plain and part.on_request:
            continue
        name, module, ready = part.name, part.module, part.ready
        if module.stage is not stage:
            stage, earlier = module.stage, tuple(lines)
        if name in alike:
            lines += alike[name]
            continue
        if ready is None:
            ready = _ready(name, module, build, order, work.shop, work.card, earlier)
        made = _lines(ready, order.quantity, work.card)
        if stage is Stage.MAKE and not module.reads_blank:
            alike[name] = made
        lines += made
    return Priced(tuple(lines), sum([line.amount for line in lines]), build)


def _ready(
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
    return Ready(item, per_plate, per_order, lot, at_least, breaks, scale, rate.coefficient, decimals + rate.decimals)


def _lines(ready: tuple[Ready, ...], plates: int, card: RateCard) -> list[Line]:
    """Multiply and round: each quantity to its unit's resolution, each product to the minor unit."""
    lines: list[Line] = []
    digits, rounding = card.minor_digits, card.rounding
    for one in ready:
        # A slack that grows with the order, lest twice as many plates need more than twice as many lots.
        lots = ceil(plates * one.per_plate * (1 - GUARD)) if one.lot else 0
        quantity = lots * one.lot if one.lot else plates * one.per_plate + one.per_order
        counted = int(quantity * one.scale + HALF_UP)
        if one.breaks:
            lines += _graduated(one.item, one.breaks, counted, card)
            continue
        amount = rescale(counted * one.coefficient, one.decimals, digits, rounding)
        lines.append(Line(one.item, counted, amount))
        if amount < one.at_least:
            lines.append(_shortfall(one.item, one.at_least - amount, card))
    return lines


def _graduated(item: Item, breaks: PriceBreaks, count: int, card: RateCard) -> Iterator[Line]:
    """A line for each step of a price list that the count reaches."""
    for rate, first, last in breaks.steps(count):
        pieces = last - first + 1
        amount = rescale(pieces * rate.coefficient, rate.decimals, card.minor_digits, card.rounding)
        basis = f"{item.basis}; pieces {first} to {last}" if count > pieces else item.basis
        yield Line(Item(item.module, item.item, item.unit, item.decimals, rate, "", basis), pieces, amount)


def _shortfall(item: Item, missing: int, card: RateCard) -> Line:
    """What is missing to the least that an item may cost, as a line that multiplies like every other."""
    title = f"{item.item}, up to the minimum"
    return Line(Item(item.module, title, card.currency, card.minor_digits, WHOLE, "", ""), missing, missing)


def hours(lines: Iterable[Line]) -> dict[str, int]:
    """Time by work centre, in ten-thousandths of an hour, in the order it is first charged."""
    totals: dict[str, int] = {}
    for line in lines:
        center = line.of.work_center
        if center:
            totals[center] = totals.get(center, 0) + line.quantity
    return totals


def unit_price(total: int, quantity: int) -> int:
    """A total shared evenly, to the nearest minor unit, half up. The total binds."""
    return (2 * total + quantity) // (2 * quantity)


def lead_days(worked: Mapping[str, int], finish: str, shop: ShopData, later: float = 0.0, *, rush: bool = False) -> int:
    """Working days from order to dispatch, by the `hours` of its lines: stock, each queue and work in turn, finish.

    `later` is how many days more than stock the blank takes to come. An order in a `rush` waits in no queue, and has
    the share of each day that the shop keeps for such orders; one that is sooner made in its turn is made in its turn.
    """
    days = shop.limits.stock_days + later + shop.finishes[finish].days
    hurried = days
    for center, charged in worked.items():
        known = shop.work_centers[center]
        work_days = charged / POWERS[4] / known.capacity
        days += known.queue + work_days
        hurried += work_days / (shop.limits.rush or 1)
    return floor((min(days, hurried) if rush else days) - GUARD) + 1
