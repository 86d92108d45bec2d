"""Money: whole minor units, exact products, one rounding.

An amount is an int of minor units (cents). A quantity is an int of its resolution, a rate an int of its last decimal,
so that a product is exact and rounding happens once, in `amount`.
"""

from enum import Enum
from typing import Final

import iso4217

MAX_DECIMALS: Final = 6
"""Most decimals a rate carries; a rate converted from another unit is rounded to this, and prints as used."""


class Rounding(Enum):
    """What happens to half a minor unit. Both are monotone: a larger product never rounds to less."""

    HALF_UP = "half-up"
    HALF_EVEN = "half-even"


def minor_digits(currency: str) -> int:
    """Decimals of a currency's minor unit, by ISO 4217. Raises `ValueError` for a code that has none."""
    try:
        digits = iso4217.Currency(currency).exponent
    except ValueError:
        digits = None
    if digits is None:
        message = f"{currency!r} is not an ISO 4217 currency code with a minor unit, such as 'USD' or 'EUR'"
        raise ValueError(message)
    return int(digits)


def rescale(value: int, decimals: int, to_decimals: int, rounding: Rounding = Rounding.HALF_UP) -> int:
    """An integer count of 10**-decimals as a count of 10**-to_decimals, rounded by the stated rule; value >= 0."""
    if decimals <= to_decimals:
        return int(value * 10 ** (to_decimals - decimals))
    divisor = 10 ** (decimals - to_decimals)
    whole, rest = divmod(value, divisor)
    twice = 2 * rest
    if twice > divisor or (twice == divisor and (rounding is Rounding.HALF_UP or whole % 2)):
        return int(whole) + 1
    return int(whole)


def text(value: int, decimals: int) -> str:
    """An integer count of 10**-decimals as decimal text: `text(123456, 2)` is "1234.56"."""
    if not decimals:
        return str(value)
    whole, rest = divmod(value, 10**decimals)
    return f"{whole}.{rest:0{decimals}d}"
