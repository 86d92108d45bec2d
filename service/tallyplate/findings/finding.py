"""What a check is given and what it says."""

from enum import Enum

from msgspec import Struct

from tallyplate.contract import Build, Order, ShopData


class Severity(Enum):
    """How much a finding matters; the values order them."""

    ERROR = 0
    """It cannot be made or will not fit."""
    CAUTION = 1
    """Someone could be hurt, or it will disappoint."""
    NOTE = 2


class Finding(Struct, frozen=True, gc=False):
    """One thing found: a stable code, where in the request, the sentence with the figures compared, and its source."""

    code: str
    severity: Severity
    pointer: str
    message: str
    source: str


class Case(Struct, frozen=True):
    """What checks look at: a build and its order, the shop that would make it, and what was promised for it.

    `total` is the price in minor units of the currency, `budget` what the customer can spend, None where not said;
    `lead_days` counts working days.
    """

    build: Build
    order: Order
    shop: ShopData
    total: int
    lead_days: int
    budget: int | None
    currency: str
    minor_digits: int


PRACTICE = "common practice, no source"
