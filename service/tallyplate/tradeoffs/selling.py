"""Two prices in the outside form side by side: their selling amounts, whose differences sum exactly."""

from decimal import Decimal

from msgspec import Struct

from tallyplate.outside import SellingAnswer
from tallyplate.tradeoffs.comparison import percent


class SellingDifference(Struct, frozen=True):
    """What one kind of work sells for in both prices, "0" where a price has none; `percent` is of the first, or ""."""

    item: str
    a: str
    b: str
    difference: str
    percent: str


class SellingComparison(Struct, frozen=True):
    """From price a to price b as a customer sees them; positive differences are dearer."""

    currency: str
    a: str
    b: str
    difference: str
    percent: str
    lines: tuple[SellingDifference, ...]


def compare_selling(a: SellingAnswer, b: SellingAnswer) -> SellingComparison:
    """The difference of two prices in one currency."""
    in_a, in_b = ({line.item: line.amount for line in answer.lines} for answer in (a, b))
    lines = []
    for item in dict.fromkeys([*in_a, *in_b]):
        old, new = in_a.get(item, "0"), in_b.get(item, "0")
        lines.append(SellingDifference(item, *_difference(old, new)))
    return SellingComparison(a.currency, *_difference(a.total, b.total), tuple(lines))


def _difference(a: str, b: str) -> tuple[str, str, str, str]:
    old, new = Decimal(a), Decimal(b)
    return a, b, str(new - old), percent(old, new)
