"""The one orchestrator: a build in, priced lines out.

Two steps. `work_out` asks every module what a plate takes, on each blank that would serve; `price` turns that and an
order into lines, and keeps the cheapest whole. The first step knows no quantity, so its result may be kept.
"""

from collections.abc import Iterable, Mapping
from math import floor

from msgspec import Struct
from msgspec.structs import replace

from tallyplate.charging import HALF_UP, PluginFailure, Ready, lines_of, ready_charges
from tallyplate.columns.parting import smaller
from tallyplate.contract import Build, CostModule, Line, Order, ShopData, Stage
from tallyplate.contract.services import NO_SERVICES
from tallyplate.lattice import GUARD
from tallyplate.money import POWERS
from tallyplate.rates.card import RateCard

__all__ = [
    "HALF_UP", "Modules", "Part", "PluginFailure", "Priced", "Work", "hours", "lead_days", "on_each_blank", "price",
    "price_work", "unit_price", "work_out",
]  # fmt: skip


class Modules(Struct, frozen=True):
    """Cost modules in the order that their lines stand: by stage, by their place in it, by name."""

    in_order: tuple[tuple[str, CostModule], ...]

    @classmethod
    def of(cls, modules: Mapping[str, CostModule]) -> "Modules":
        """Put installed modules in order."""
        return cls(tuple(sorted(modules.items(), key=lambda item: (item[1].stage.value, item[1].place, item[0]))))


class Part(Struct, frozen=True):
    """What one module said of a plate; `ready` is None where it must be asked for each order.

    One that is `on_request` is asked only for an order with services, so that a plain one is priced as fast without.
    """

    name: str
    module: CostModule
    ready: tuple[Ready, ...] | None
    on_request: bool


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
                None if waits else ready_charges(name, module, cut, no_order, shop, card, ()),
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
    return min(on_each_blank(work, order), key=lambda one: one.total)


def on_each_blank(work: Work, order: Order) -> list[Priced]:
    """Price an order on each blank that would serve. Raises `PluginFailure`."""
    alike: dict[str, list[Line]] = {}
    return [_on_blank(build, parts, order, work, alike) for build, parts in zip(work.builds, work.parts, strict=True)]


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
            ready = ready_charges(name, module, build, order, work.shop, work.card, earlier)
        made = lines_of(ready, order.quantity, work.card)
        if stage is Stage.MAKE and not module.reads_blank:
            alike[name] = made
        lines += made
    return Priced(tuple(lines), sum([line.amount for line in lines]), build)


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


def days_of(priced: Priced, order: Order, shop: ShopData) -> tuple[int, int]:
    """Working days from order to dispatch, and those of the same order in its turn."""
    timing = hours(priced.lines), priced.build.finish, shop, priced.build.blank.days
    in_turn = lead_days(*timing)
    return lead_days(*timing, rush=True) if order.services.rush else in_turn, in_turn


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
    return floor((smaller(days, hurried) if rush else days) - GUARD) + 1
