"""What a figure is worth: how far a price moves when the figure moves by one percent, to see which deserve care."""

from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from tallyplate.contract import Refusal, ShopData
from tallyplate.rates.card import RateCard
from tallyplate.rates.walk import changed, figures, shown
from tallyplate.tradeoffs.comparison import percent

ONE_PERCENT = Fraction(1, 100)

Total = Callable[[RateCard, ShopData], Decimal]
"""The price of an order or a portfolio under a card and shop data."""


class Worth(Struct, frozen=True):
    """One figure of the card or the shop data; money in the card's currency.

    `up` and `down` are the changes in price when the figure alone goes up or down by one percent; "" where the changed
    figure cannot be worked with. `percent` is the greater of the two, of the price.
    """

    source: str
    figure: str
    value: str
    up: str
    down: str
    percent: str


def worth(total: Total, card: RateCard, shop: ShopData) -> tuple[Worth, ...]:
    """Every figure that moves the price, the greatest first."""
    base = total(card, shop)
    found = [*_of_card(total, card, shop, base), *_of_shop(total, card, shop, base)]
    moving = [one for one in found if Decimal(one.percent or 0)]
    return tuple(sorted(moving, key=lambda one: (-abs(Decimal(one.percent)), one.source, one.figure)))


def _of_card(total: Total, card: RateCard, shop: ShopData, base: Decimal) -> Iterator[Worth]:
    for path, leaf in figures(card):
        yield _moved(
            "rate_card",
            path.removeprefix("sections."),
            shown(leaf),
            base,
            lambda factor, path=path: total(changed(card, path, factor), shop),  # type: ignore[misc]
        )


def _of_shop(total: Total, card: RateCard, shop: ShopData, base: Decimal) -> Iterator[Worth]:
    for path, leaf in figures(shop):
        yield _moved(
            "shop_data",
            path.removeprefix("sections."),
            shown(leaf),
            base,
            lambda factor, path=path: total(card, changed(shop, path, factor)),  # type: ignore[misc]
        )


def _moved(source: str, figure: str, value: str, base: Decimal, at: Callable[[Fraction], Decimal]) -> Worth:
    moves = [_move(at, base, factor) for factor in (1 + ONE_PERCENT, 1 - ONE_PERCENT)]
    greatest = max((abs(move) for move in moves if move is not None), default=Decimal())
    up, down = ("" if move is None else str(move) for move in moves)
    return Worth(source, figure, value, up, down, percent(base, base + greatest))


def _move(at: Callable[[Fraction], Decimal], base: Decimal, factor: Fraction) -> Decimal | None:
    try:
        return at(factor) - base
    except (Refusal, ValueError):
        return None


def summed(prices: Iterable[Decimal]) -> Decimal:
    """The price of a portfolio."""
    return sum(prices, Decimal())
