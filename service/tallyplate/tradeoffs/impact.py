"""What another rate card would do to a portfolio of orders, before it counts."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from decimal import Decimal
from heapq import heappush, heappushpop

from msgspec import Struct

from tallyplate.answers import PriceAnswer
from tallyplate.contract import Fault, Refusal
from tallyplate.orders import Entry
from tallyplate.pricing import PluginFailure
from tallyplate.tradeoffs.comparison import Comparison, ModuleDifference, by_module, compare, percent

MOVING_MOST = 10

Pricing = Callable[[object], PriceAnswer]
"""How a request is priced under one of the cards; raises `Refusal` or `PluginFailure`."""


class OrderImpact(Struct, frozen=True):
    """What happens to one order, by its line in the file or its place in the list, counted from 1."""

    order: int
    comparison: Comparison


class Summed(OrderImpact, frozen=True):
    """The same by module alone: `request` is the order, by which its lines can be told."""

    request: object


class OrderRefused(Struct, frozen=True):
    """An order that cannot be priced, and why; `under` says by which card, "" where the order could not be read."""

    order: int
    under: str
    reasons: tuple[Fault, ...]


class Impact(Struct, frozen=True):
    """A portfolio under two cards, from a to b: totals, by module, and the orders that move most.

    Orders = priced + refused; all money is of the orders that both cards price.
    """

    orders: int
    priced: int
    refused: tuple[OrderRefused, ...]
    currency: str
    a: str
    b: str
    difference: str
    percent: str
    modules: tuple[ModuleDifference, ...]
    moving_most: tuple[OrderImpact, ...]


def attempt(order: Entry, price: Pricing, under: str = "") -> PriceAnswer | OrderRefused:
    """The price of an order, or why it has none."""
    if order.faults:
        return OrderRefused(order.line, "", order.faults)
    try:
        return price(order.request)
    except Refusal as refusal:
        return OrderRefused(order.line, under, refusal.faults)
    except PluginFailure as failure:
        return OrderRefused(order.line, under, (Fault("", str(failure)),))


def compared(orders: Iterable[Entry], a: Pricing, b: Pricing) -> Iterator[OrderImpact | OrderRefused]:
    """Price every order under both cards, one after the other."""
    for order in orders:
        old = attempt(order, a, "a")
        if isinstance(old, OrderRefused):
            yield old
            continue
        new = attempt(order, b, "b")
        yield new if isinstance(new, OrderRefused) else OrderImpact(order.line, compare(old, new))


def in_full(outcome: OrderImpact, a: Pricing, b: Pricing) -> OrderImpact:
    """An order with its lines; what was summed is priced again."""
    if not isinstance(outcome, Summed):
        return outcome
    return OrderImpact(outcome.order, compare(a(outcome.request), b(outcome.request)))


def impact(
    outcomes: Iterable[OrderImpact | OrderRefused],
    currency: str,
    modules_in_order: Sequence[str],
    told: Callable[[OrderImpact], OrderImpact] = lambda outcome: outcome,
) -> Impact:
    """What a portfolio came to. Memory does not grow with it, but for what cannot be priced.

    The orders that move most are those that `told` makes of them.
    """
    refused: list[OrderRefused] = []
    modules: dict[str, ModuleDifference] = {}
    most: list[tuple[Decimal, int, OrderImpact]] = []
    priced, a, b = 0, Decimal(), Decimal()
    for outcome in outcomes:
        if isinstance(outcome, OrderRefused):
            refused.append(outcome)
            continue
        one = outcome.comparison
        priced, a, b = priced + 1, a + Decimal(one.a), b + Decimal(one.b)
        for module in one.modules:
            known = modules.get(module.module)
            modules[module.module] = by_module((known, module))[0] if known else module
        # Of orders that move alike, the earlier is kept.
        entry = abs(Decimal(one.difference)), -priced, outcome
        (heappush if len(most) < MOVING_MOST else heappushpop)(most, entry)
    return Impact(
        orders=priced + len(refused),
        priced=priced,
        refused=tuple(refused),
        currency=currency,
        a=str(a),
        b=str(b),
        difference=str(b - a),
        percent=percent(a, b),
        modules=tuple(modules[name] for name in modules_in_order if name in modules),
        moving_most=tuple(told(outcome) for _, _, outcome in sorted(most, reverse=True)),
    )
