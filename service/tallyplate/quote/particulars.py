"""What a caller says of a quote beside the plate: for whom, on which reference, and what was agreed about the money."""

from datetime import date
from typing import Annotated, Final

from msgspec import UNSET, Meta, Struct, UnsetType

from tallyplate.inquiry import MAX_QUANTITY, MoneyText
from tallyplate.rates.quoting import Account, Clause, Line, Party

NUMBER_PATTERN: Final = r"^Q-[0-9A-HJKMNP-TV-Z]{4}-[0-9A-HJKMNP-TV-Z]{4}-[0-9A-HJKMNP-TV-Z]{4}$"
"""A quote's number: twelve characters of Crockford's base 32, in which no two look alike."""

MOST_QUANTITIES: Final = 8

Number = Annotated[str, Meta(pattern=NUMBER_PATTERN, max_length=16, title="Number of a quote")]
Quantity = Annotated[int, Meta(ge=1, le=MAX_QUANTITY)]


class Customer(Party, frozen=True, forbid_unknown_fields=True, kw_only=True, omit_defaults=True):
    """Whom a quote is for. An `account` of the rate card is granted its price list; the inside form takes it."""

    account: Account | UnsetType = UNSET


class Stated(Struct, frozen=True, forbid_unknown_fields=True):
    """An amount that the caller states and nothing here computes, and what it is for."""

    amount: MoneyText
    words: Line


class Override(Struct, frozen=True, forbid_unknown_fields=True):
    """A price that somebody settled on. Who is said to the customer; why is not."""

    total: MoneyText
    by: Line
    why: Clause


class Particulars(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """The member `quote` of a request. Dates and an account ask for the scope `cost`, an override for `override`."""

    customer: Customer
    reference: Annotated[Line, Meta(title="The customer's reference")] | UnsetType = UNSET
    note: Clause | UnsetType = UNSET
    replaces: Annotated[Number, Meta(description="The quote that this one revises.")] | UnsetType = UNSET
    quantities: Annotated[
        tuple[Quantity, ...], Meta(max_length=MOST_QUANTITIES, description="Other quantities to state prices for.")
    ] = ()
    freight: Stated | UnsetType = UNSET
    tax: Stated | UnsetType = UNSET
    override: Override | UnsetType = UNSET
    issued_on: Annotated[date, Meta(description="Usually today.")] | UnsetType = UNSET
    valid_until: Annotated[date, Meta(description="Usually as long as the rate card says.")] | UnsetType = UNSET


DATES: Final = ("issued_on", "valid_until")
"""What only the house may say of a quote, beside the customer's account."""

SETTLED: Final = "override"
"""The member that settles a price by hand."""
