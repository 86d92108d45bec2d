"""What another rate card would do to a portfolio of orders, before it counts."""

from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal
from heapq import heappush, heappushpop

from msgspec import Struct

from tallyplate.answers import PriceAnswer
from tallyplate.contract import Refusal
from tallyplate.tradeoffs.comparison import Comparison, LineDifference, ModuleDifference, by_module, compare, percent

MOVING_MOST = 10


class OrderImpact(Struct, frozen=True):
    """What happens to one order, by its place in the portfolio counted from 1."""

    order: int
    comparison: Comparison


class OrderRefused(Struct, frozen=True):
    """An order that one of the cards cannot price, and why."""

    order: int
    reasons: tuple[str, ...]


class Impact(Struct, frozen=True):
    """A portfolio under two cards: totals, by module, and the orders that move most."""

    orders: int
    refused: tuple[OrderRefused, ...]
    currency: str
    a: str
    b: str
    difference: str
    percent: str
    modules: tuple[ModuleDifference, ...]
    moving_most: tuple[OrderImpact, ...]


Pricing = Callable[[object], PriceAnswer]


def impact(orders: Iterable[object], a: Pricing, b: Pricing) -> Impact:
    """Price every order under both cards. Memory does not grow with the portfolio, but for what cannot be priced."""
    tally = _Tally()
    for number, order in enumerate(orders, start=1):
        try:
            compared = compare(a(order), b(order))
        except Refusal as refusal:
            tally.refused.append(
                OrderRefused(number, tuple(f"{fault.pointer}: {fault.message}" for fault in refusal.faults))
            )
        else:
            tally.add(number, compared)
    return tally.result()


class _Tally:
    """Sums and the orders that move most, as a portfolio goes by."""

    def __init__(self) -> None:
        self.refused: list[OrderRefused] = []
        self.currency, self.priced = "", 0
        self.a, self.b = Decimal(), Decimal()
        self.modules: dict[str, LineDifference] = {}
        self.most: list[tuple[Decimal, int, Comparison]] = []

    def add(self, number: int, compared: Comparison) -> None:
        """Count one order in."""
        self.currency, self.priced = compared.currency, self.priced + 1
        self.a, self.b = self.a + Decimal(compared.a), self.b + Decimal(compared.b)
        for module in compared.modules:
            known = self.modules.get(module.module, LineDifference(module.module, "", "0", "0", "0"))
            self.modules[module.module] = LineDifference(
                module.module, "", *(str(Decimal(x) + Decimal(y)) for x, y in _pairs(known, module))
            )
        # Of orders that move alike, the earlier is kept.
        entry = (abs(Decimal(compared.difference)), -number, compared)
        (heappush if len(self.most) < MOVING_MOST else heappushpop)(self.most, entry)

    def result(self) -> Impact:
        """What the portfolio came to."""
        most = sorted(self.most, key=lambda entry: entry[:2], reverse=True)
        return Impact(
            orders=self.priced + len(self.refused),
            refused=tuple(self.refused),
            currency=self.currency,
            a=str(self.a),
            b=str(self.b),
            difference=str(self.b - self.a),
            percent=percent(self.a, self.b),
            modules=by_module(self.modules.values()),
            moving_most=tuple(OrderImpact(-number, compared) for _, number, compared in most),
        )


def _pairs(known: LineDifference, module: ModuleDifference) -> Iterator[tuple[str, str]]:
    return zip((known.a, known.b, known.difference), (module.a, module.b, module.difference), strict=True)
