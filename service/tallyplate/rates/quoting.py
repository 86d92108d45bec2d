"""What a rate card says of quotes: who sells, on which terms, how long a price holds, and what customers are granted.

A discount is graduated: each part of a total is reduced by the share that its own place in the total has, so that a
dearer plate never costs less than a cheaper one. One on a kind of work or an item is so on what that adds to the price.
"""

from collections.abc import Mapping
from fractions import Fraction
from itertools import pairwise, zip_longest
from typing import Annotated, Final

from msgspec import UNSET, Meta, Struct, UnsetType

from tallyplate.contract import Days, Share, Sum
from tallyplate.money import MAX_DECIMALS, Rounding, rescale

Line = Annotated[str, Meta(min_length=1, max_length=120)]
Clause = Annotated[str, Meta(min_length=1, max_length=600)]
Country = Annotated[str, Meta(pattern="^[A-Z]{2}$", max_length=2, title="Country, by ISO 3166-1 alpha-2")]
Account = Annotated[str, Meta(pattern="^[A-Za-z0-9][A-Za-z0-9._-]*$", max_length=64)]

LONGEST: Final = 3660
"""Most days that a quote may hold: ten years."""


class Party(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True, omit_defaults=True):
    """A firm as it stands on a letter."""

    name: Line
    attention: Line | UnsetType = UNSET
    address: Annotated[tuple[Line, ...], Meta(max_length=6)] = ()
    country: Country | UnsetType = UNSET
    email: Line | UnsetType = UNSET
    phone: Line | UnsetType = UNSET
    tax_id: Line | UnsetType = UNSET


class DiscountStep(Struct, frozen=True, forbid_unknown_fields=True, rename={"from_total": "from"}):
    """The share by which the part of an order's total that lies above a sum is reduced."""

    from_total: Sum
    discount: Share


def _check(steps: tuple[DiscountStep, ...]) -> None:
    """Steps start from nothing and rise, and none takes more than all."""
    if not steps or steps[0].from_total.minor:
        message = "steps start from 0"
        raise ValueError(message)
    if any(lower.from_total.minor >= upper.from_total.minor for lower, upper in pairwise(steps)):
        message = "steps must rise in from"
        raise ValueError(message)
    if any(Fraction(step.discount.text) > 1 for step in steps):
        message = "a discount may be at most 100 %"
        raise ValueError(message)


def _exact(steps: tuple[DiscountStep, ...], total: int) -> Fraction:
    """What is taken off a total in minor units, before it is rounded; nothing off nothing."""
    off = Fraction()
    for step, following in zip_longest(steps, steps[1:]):
        reached = min(total, following.from_total.minor) if following else total
        off += max(0, reached - step.from_total.minor) * Fraction(step.discount.text)
    return off


def _rounded(exact: Fraction, rounding: Rounding) -> int:
    return rescale(int(exact * 10**MAX_DECIMALS), MAX_DECIMALS, 0, rounding)


class AgreedPrice(Struct, frozen=True, forbid_unknown_fields=True):
    """A discount on what one kind of work, or one item of it, adds to a price; one step is a plain share.

    `module` is that of the lines, and `item` what their items begin with, in whole words, such as "bushings"; without
    it the price is on all work of the module. `title` is what the customer reads.
    """

    title: Line
    module: Line
    steps: tuple[DiscountStep, ...]
    item: Line | UnsetType = UNSET

    def __post_init__(self) -> None:
        """Its steps are steps."""
        _check(self.steps)


class PriceList(Struct, frozen=True, forbid_unknown_fields=True):
    """A discount that customers are granted, under the name that they know it by; one step is a plain share.

    It is on what is left of the total when the prices `agreed` on single kinds of work and items are taken off, if any.
    """

    title: Line
    steps: tuple[DiscountStep, ...]
    agreed: dict[Account, AgreedPrice] = {}

    def __post_init__(self) -> None:
        """Its steps are steps, and nothing that several agreed prices are on is given away more than whole."""
        _check(self.steps)
        highest = [max(Fraction(step.discount.text) for step in one.steps) for one in self.agreed.values()]
        if sum(highest) > 1:
            message = "the highest discounts of agreed prices may together be at most 100 %"
            raise ValueError(message)

    def discount(self, total: int, rounding: Rounding) -> int:
        """What is taken off a total, both in minor units; never more than the total, and rounded once."""
        return _rounded(_exact(self.steps, total), rounding)

    def agreed_discounts(self, total: int, added: Mapping[str, int], rounding: Rounding) -> dict[str, int]:
        """What each agreed price takes off a total, by what its item adds to it; all in minor units.

        What is left is rounded, not what is taken off, and the parts sum to the difference.
        """
        found: dict[str, int] = {}
        exact, before = Fraction(total), total
        for name, one in self.agreed.items():
            exact -= _exact(one.steps, added[name])
            left = _rounded(exact, rounding)
            found[name], before = before - left, left
        return found


class Granted(Struct, frozen=True, forbid_unknown_fields=True):
    """What a customer is granted: the name of a price list of this card."""

    price_list: Account


class QuoteTerms(Struct, frozen=True, forbid_unknown_fields=True):
    """The section `quotes` of a card; a firm that sends no quotes needs none."""

    valid: Days
    """Days that a quote holds, the day of its issue not counted."""
    seller: Party
    payment: Clause
    delivery: Clause
    terms: Annotated[tuple[Clause, ...], Meta(max_length=20)] = ()
    price_lists: dict[Account, PriceList] = {}
    customers: dict[Account, Granted] = {}
    """By account, the name by which callers know a customer."""

    def __post_init__(self) -> None:
        """A quote holds for whole days, and every customer's price list is here."""
        if not (1 <= self.valid <= LONGEST and self.valid.is_integer()):
            message = f"valid must be whole days, from 1 day to {LONGEST} day"
            raise ValueError(message)
        for account, granted in self.customers.items():
            if granted.price_list not in self.price_lists:
                lists = ", ".join(sorted(self.price_lists)) or "none"
                message = (
                    f"the price list {granted.price_list!r} of customer {account!r} is not here; here are: {lists}"
                )
                raise ValueError(message)

    def price_list(self, account: str) -> PriceList | None:
        """The price list of a customer; None for an account that is not here."""
        granted = self.customers.get(account)
        return self.price_lists[granted.price_list] if granted else None
