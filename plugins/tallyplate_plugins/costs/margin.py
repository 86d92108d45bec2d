"""Margin: a share of the selling price.

A margin m of the price is a mark-up of m / (1 - m) on all that came before, since price = cost / (1 - m) (common
practice, no source: it follows from what a share of the price is).
"""

from collections.abc import Iterable
from fractions import Fraction
from functools import lru_cache

from msgspec import Struct

from tallyplate.contract import (
    CONTRACT,
    Build,
    Charge,
    CostModule,
    Line,
    Order,
    Share,
    ShopData,
    Stage,
    subtotal,
)


class Rates(Struct, frozen=True, forbid_unknown_fields=True):
    """The margin, as a share of the selling price."""

    of_price: Share

    def __post_init__(self) -> None:
        """Nothing can be all margin."""
        if self.of_price.coefficient >= 10**self.of_price.decimals:
            message = "of_price must be below 100 %"
            raise ValueError(message)


@lru_cache(maxsize=64)
def markup(margin: Share) -> Share:
    """The mark-up on cost that leaves a margin of the price, to six decimals."""
    share = Fraction(margin.coefficient, 10**margin.decimals)
    return Share.of(share / (1 - share))


def charges(
    build: Build,
    order: Order,
    shop: ShopData,
    rates: Rates,
    earlier: tuple[Line, ...],
) -> Iterable[Charge]:
    """The mark-up on all that came before."""
    yield Charge("margin", 0, markup(rates.of_price), "", f"{rates.of_price.text} of the price", subtotal(earlier))


MODULE = CostModule(contract=CONTRACT, stage=Stage.MARGIN, charges=charges, rates=Rates, reads_blank=False)
