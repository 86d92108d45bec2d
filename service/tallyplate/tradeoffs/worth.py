"""What a figure is worth: how far a price moves when the figure moves by one percent, to see which deserve care."""

from collections.abc import Callable, Iterable, Sequence
from decimal import Decimal
from fractions import Fraction
from functools import partial
from typing import Final

from msgspec import Struct

from tallyplate.contract import Length, Rate, Refusal, ShopData, Sum
from tallyplate.contract.figures import MONEY
from tallyplate.money import text
from tallyplate.pricing import PluginFailure
from tallyplate.rates.card import RateCard
from tallyplate.rates.walk import Leaf, changed, figures
from tallyplate.tradeoffs.comparison import percent

ONE_PERCENT: Final = Fraction(1, 100)

ROUNDING: Final = 25
"""Minor units by which the rounding of an order's lines may bend a straight move."""

Prices = Callable[[RateCard, ShopData], Sequence[Decimal]]
"""The price of each order of a portfolio under a card and shop data."""

Place = tuple[str, str, Leaf]
"""A figure, and where it stands: in the rate card or the shop data, at which path."""

Moves = Callable[[Place, Fraction], Sequence[Decimal] | None]
"""What each order moves by when a figure changes by a share of it; None where one cannot be priced with it."""


class Worth(Struct, frozen=True):
    """One figure of the card or the shop data; money in the card's currency.

    `up` and `down` are the changes in price when the figure alone goes up or down by one percent; "" where an order
    cannot be priced with the changed figure. `percent` is the greater of the two, of the price. At a `step` the price
    jumps: a limit is crossed somewhere within the one percent, so that the figure's worth cannot be scaled.
    """

    source: str
    figure: str
    value: str
    up: str
    down: str
    percent: str
    step: bool


def worth(
    prices: Prices,
    card: RateCard,
    shop: ShopData,
    each: Callable[[Sequence[Place]], Iterable[Place]] = iter,
) -> tuple[Worth, ...]:
    """Every figure that moves the price of a portfolio, the greatest first; `each` may watch them go by.

    A figure takes two prices of the whole portfolio, and one that moves it takes two more.
    """
    places: list[Place] = [("rate_card", *found) for found in figures(card)]
    places += [("shop_data", *found) for found in figures(shop)]
    base = prices(card, shop)
    moves = partial(_moves, prices, card, shop, base)
    found = [_worth(place, moves, sum(base, Decimal()), card) for place in each(places)]
    return tuple(one for _, one in sorted((pair for pair in found if pair[0]), key=_rank))


def _rank(found: tuple[Decimal, Worth]) -> tuple[Decimal, str, str]:
    greatest, one = found
    return -greatest, one.source, one.figure


def _worth(place: Place, moves: Moves, base: Decimal, card: RateCard) -> tuple[Decimal, Worth]:
    """How far a figure moves the price at most, and all that is said about it."""
    source, path, leaf = place
    up, down = (moves(place, change) for change in (ONE_PERCENT, -ONE_PERCENT))
    greatest = max(abs(sum(moved, Decimal())) for moved in (up or (), down or ()))
    step = bool(greatest) and any(
        _jumps(moved, moves(place, change / 2), card) for moved, change in ((up, ONE_PERCENT), (down, -ONE_PERCENT))
    )
    share = percent(base, base + greatest, decimals=3)
    return greatest, Worth(source, path.removeprefix("sections."), shown(leaf, card), _sum(up), _sum(down), share, step)


def _moves(
    prices: Prices, card: RateCard, shop: ShopData, base: Sequence[Decimal], place: Place, change: Fraction
) -> Sequence[Decimal] | None:
    source, path, _ = place
    try:
        if source == "rate_card":
            moved = prices(changed(card, path, 1 + change), shop)
        else:
            moved = prices(card, changed(shop, path, 1 + change))
    except (Refusal, PluginFailure, ValueError):
        return None
    return [new - old for old, new in zip(base, moved, strict=True)]


def _jumps(whole: Sequence[Decimal] | None, half: Sequence[Decimal] | None, card: RateCard) -> bool:
    """Whether some order's move is far from twice the move at half the change, as no smooth cost is."""
    if whole is None or half is None:
        return False
    rounding = ROUNDING * Decimal(1).scaleb(-card.minor_digits)
    return any(abs(one - 2 * other) > abs(one) / 4 + rounding for one, other in zip(whole, half, strict=True))


def _sum(moved: Sequence[Decimal] | None) -> str:
    return "" if moved is None else str(sum(moved, Decimal()))


def shown(leaf: Leaf, card: RateCard) -> str:
    """A figure as it is used, with its unit."""
    if isinstance(leaf, Length):
        return leaf.text
    if isinstance(leaf, Sum):
        return f"{text(leaf.minor, card.minor_digits)} {card.currency}"
    if isinstance(leaf, Rate):
        if leaf.unit is MONEY:
            return f"{100 * float(leaf.text):g} %"
        return f"{leaf.text} {leaf.written_unit(card.currency)}"
    return f"{float(leaf):g} {leaf.unit.replace('**', '')}".rstrip()
