"""Rate cards that differ from the demonstration's in a figure or two, and prices under them."""

from contextlib import suppress
from decimal import Decimal
from fractions import Fraction
from typing import Any, Final

from hypothesis import strategies as st

from tallyplate.answers import PriceAnswer
from tallyplate.pricing import Modules
from tallyplate.rates.card import RateCard
from tallyplate.rates.walk import changed, figures
from tallyplate.tradeoffs.impact import Pricing
from tests.plates import installation
from tests.strategies import CARD

PATHS: Final = tuple(path for path, _ in figures(CARD))
IN_ORDER: Final = [name for name, _ in Modules.of(installation().modules).in_order]
FACTORS: Final = (Fraction(0), Fraction(1, 2), Fraction(99, 100), Fraction(101, 100), Fraction(3))


def card(**factors: Fraction | int) -> RateCard:
    """The demonstration's card with figures multiplied; `__` stands for the dot of a path."""
    made = CARD
    for path, factor in factors.items():
        made = changed(made, path.replace("__", "."), Fraction(factor))
    return made


@st.composite
def cards(draw: st.DrawFn) -> RateCard:
    """A card with some figures changed, so far as its sections allow."""
    made = CARD
    for path in draw(st.lists(st.sampled_from(PATHS), max_size=5, unique=True)):
        with suppress(ValueError):  # a later price break dearer than an earlier one, or a price that is all margin
            made = changed(made, path, draw(st.sampled_from(FACTORS)))
    return made


def under(one: RateCard) -> Pricing:
    """How requests are priced under a card."""
    return lambda request: installation().price_under(request, one)


def priced(request: Any, one: RateCard = CARD) -> PriceAnswer:
    return installation().price_under(request, one)


def total(request: Any, one: RateCard = CARD) -> Decimal:
    return Decimal(priced(request, one).total)
