"""What a caller is told of the alternatives within a budget: the types of the answer."""

from datetime import date

from msgspec import UNSET, Struct, UnsetType

from tallyplate.answers import Version
from tallyplate.tradeoffs.choices import Value


class Exchange(Struct, frozen=True, rename={"from_": "from"}):
    """A field of the request by JSON Pointer: what it is, null where nobody said, and what it would be."""

    pointer: str
    from_: Value | None
    to: Value


class Standing(Struct, frozen=True, kw_only=True):
    """A plate by what alternatives are compared by.

    `positions` counts the tapped and combination holes of its pattern. `position_tolerance` and `stiffness` name their
    units; `stiffness` is that of a strip of the plate for each metre of its width, E t^3 / 12.
    """

    total: str
    unit_price: str
    positions: int
    position_tolerance: str
    stiffness: str


class Present(Standing, frozen=True, kw_only=True):
    """The plate as it was asked for."""

    can_be_made: bool


class Alternative(Standing, frozen=True, kw_only=True):
    """A plate within the budget to which no other is as good for as much money, nor better for less.

    Make the `changes` and the price is `total`, which is dearer by `difference`.
    """

    changes: tuple[Exchange, ...]
    difference: str
    sentence: str


class Free(Struct, frozen=True):
    """A field that was free to change: what it is, and what else was tried."""

    pointer: str
    title: str
    value: Value | None
    given: bool
    others: tuple[Value, ...]


class Driver(Struct, frozen=True):
    """One of the largest parts of a price."""

    name: str
    amount: str


class NothingFits(Struct, frozen=True):
    """Why there are no alternatives: the cheapest plate that can be made, if any, and what drives its price."""

    sentence: str
    cheapest: Alternative | UnsetType = UNSET
    drivers: tuple[Driver, ...] = ()


class AlternativesAnswer(Struct, frozen=True, kw_only=True):
    """The plates within a budget that no other beats in price, clamping positions, precision and stiffness at once.

    `examined` counts the combinations of what may change, and `possible` those that can be made.
    """

    currency: str
    quantity: int
    budget: str
    present: Present
    may_change: tuple[Free, ...]
    examined: int
    possible: int
    alternatives: tuple[Alternative, ...]
    nothing_fits: NothingFits | UnsetType = UNSET
    as_of: date
    rate_card: Version
    shop_data: Version
