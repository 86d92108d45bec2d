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


POWERS: Final[tuple[int, ...]] = tuple(10**exponent for exponent in range(25))
"""Powers of ten, which are looked up more often than they could be computed."""

_FORMATS: Final[tuple[str, ...]] = tuple(f"%.{decimals}f" for decimals in range(25))

EXACT_AS_FLOAT: Final = 10**15
"""Below this a count divided by its power of ten prints right to the last decimal: 2**-53 of it is less than half."""


def rescale(value: int, decimals: int, to_decimals: int, rounding: Rounding = Rounding.HALF_UP) -> int:
    """An integer count of 10**-decimals as a count of 10**-to_decimals, rounded by the stated rule; value >= 0."""
    drop = decimals - to_decimals
    if drop <= 0:
        return value * POWERS[-drop]
    divisor = POWERS[drop]
    rounded = (value + divisor // 2) // divisor
    if rounding is Rounding.HALF_EVEN and rounded % 2 and 2 * (value % divisor) == divisor:
        rounded -= 1
    return rounded


def text(value: int, decimals: int) -> str:
    """An integer count of 10**-decimals as decimal text: `text(123456, 2)` is "1234.56"; value >= 0."""
    if not decimals:
        return str(value)
    if value < EXACT_AS_FLOAT:
        return _FORMATS[decimals] % (value / POWERS[decimals])
    whole, rest = divmod(value, POWERS[decimals])
    return f"{whole}.{rest:0{decimals}d}"


def count(amount: str, decimals: int) -> int:
    """The integer count of 10**-decimals that `text` has written."""
    return int(amount.replace(".", "")) if decimals else int(amount)


def spread(total: int, weights: list[int]) -> list[int]:
    """A total shared in proportion to weights, in whole units that sum to it: the largest remainders get the rest."""
    whole = sum(weights)
    if not whole:
        return [total, *[0] * len(weights)][: len(weights)]
    shares = [total * weight // whole for weight in weights]
    by_remainder = sorted(range(len(weights)), key=lambda index: (-(total * weights[index] % whole), index))
    for index in by_remainder[: total - sum(shares)]:
        shares[index] += 1
    return shares
