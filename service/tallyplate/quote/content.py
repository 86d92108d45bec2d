"""A quote as it is signed and sent: everything that binds, and the outside form only.

Quotes outlive the code that made them, so that these structs are a format of their own: `FORMAT` names it, and what is
added later is optional. Amounts are decimal text in the quote's currency.
"""

from datetime import date
from typing import Any, Final

from msgspec import UNSET, Struct, UnsetType

from tallyplate.quote.particulars import Customer
from tallyplate.rates.quoting import Party

FORMAT: Final = 1


class QuoteLine(Struct, frozen=True, omit_defaults=True):
    """What one kind of work on all plates of the order sells for, or what an agreement changes about it, and why."""

    item: str
    quantity: int
    unit: str
    amount: str
    basis: str = ""


class QuantityPrice(Struct, frozen=True):
    """What an order of another quantity would come to on the same terms, freight and tax apart."""

    quantity: int
    unit_price: str
    total: str


class StatedAmount(Struct, frozen=True):
    """An amount that the caller stated, shown apart."""

    amount: str
    words: str


class QuoteFinding(Struct, frozen=True):
    """A caution or note that concerns the buyer."""

    code: str
    severity: str
    message: str


class AssumedAnswer(Struct, frozen=True):
    """An answer that the customer did not give, at its place in the request."""

    pointer: str
    value: str | int | bool | list[str]
    why: str


class Dispatch(Struct, frozen=True):
    """Mass of a plate and of the order in kg, and when they are dispatched if ordered on the day of issue."""

    mass_each: str
    mass_total: str
    working_days: int
    ready_on: date


class QuotePlate(Struct, frozen=True):
    """One plate of a set: its part of the list price, and the mass of one in kg."""

    # What services sell for stands in lines after those of the plates; quotes of old have it in the plates' parts.
    title: str
    quantity: int
    unit_price: str
    amount: str
    mass_each: str


class AgreedTerms(Struct, frozen=True):
    """What is agreed with the order, in the words of the rate card."""

    payment: str
    delivery: str
    clauses: tuple[str, ...] = ()


class MadeFrom(Struct, frozen=True):
    """A rate card or shop data, by id and SHA-256 digest."""

    id: str
    digest: str


class Quote(Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One plate in one quantity, or one set of `plates`, at one price.

    `nbf` and `exp` are the first and last moment (RFC 7519, NumericDate).
    `lines` sum to `list_total`, and with `adjustments` to `total`, which binds; with freight and tax, where they are
    stated, that is `payable`. `request` makes the very plate again, with every assumed answer filled in.
    """

    format: int
    number: str
    replaces: str | UnsetType = UNSET
    issued_on: date
    valid_until: date
    nbf: int
    exp: int
    seller: Party
    customer: Customer
    reference: str | UnsetType = UNSET
    note: str | UnsetType = UNSET
    title: str
    request: dict[str, Any]
    quantity: int
    currency: str
    lines: tuple[QuoteLine, ...]
    list_total: str
    adjustments: tuple[QuoteLine, ...] = ()
    total: str
    unit_price: str
    freight: StatedAmount | UnsetType = UNSET
    tax: StatedAmount | UnsetType = UNSET
    payable: str
    quantity_prices: tuple[QuantityPrice, ...] = ()
    assumed: tuple[AssumedAnswer, ...] = ()
    findings: tuple[QuoteFinding, ...] = ()
    plates: tuple[QuotePlate, ...] = ()
    dispatch: Dispatch
    terms: AgreedTerms
    as_of: date
    rate_card: MadeFrom
    shop_data: MadeFrom
