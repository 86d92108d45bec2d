"""What a check is given and what it says."""

from enum import Enum

from msgspec import Struct

from tallyplate.contract import Build, Order, ShopData


class Severity(Enum):
    """How much a finding matters, worst first."""

    ERROR = "error"
    """It cannot be made or will not fit."""
    CAUTION = "caution"
    """Someone could be hurt, or it will disappoint."""
    NOTE = "note"


class Finding(Struct, frozen=True, gc=False):
    """One thing found: a stable code, where in the request, the sentence with the figures compared, and its source."""

    code: str
    severity: Severity
    pointer: str
    message: str
    source: str


class Case(Struct, frozen=True):
    """What checks of a plate look at: its build, and the shop that would make it."""

    build: Build
    shop: ShopData


class Offer(Struct, frozen=True):
    """What checks of an order look at: what it came to, against what was asked.

    `total` and `budget` are in minor units of the currency; the budget is None where it was not said.
    """

    order: Order
    shop_id: str
    total: int
    lead_days: int
    budget: int | None
    currency: str
    minor_digits: int


PRACTICE = "common practice, no source"
