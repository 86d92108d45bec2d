"""What a check is given and what it says."""

from enum import Enum

from msgspec import UNSET, Struct, UnsetType

from tallyplate.contract import Build, Order, ShopData


class Severity(Enum):
    """How much a finding matters, worst first."""

    ERROR = "error"
    """It cannot be made or will not fit."""
    CAUTION = "caution"
    """Someone could be hurt, or it will disappoint."""
    NOTE = "note"


Value = str | int | bool | None
"""What a field of a request is set to; None takes the field out."""


class Change(Struct, frozen=True, gc=False):
    """A field to set: a JSON Pointer into the request and its new value. Missing parents are made as objects."""

    pointer: str
    value: Value


class Mend(Struct, frozen=True, gc=False):
    """Changes that, made together, remove a finding and add no error, and the same in words to be read out."""

    changes: tuple[Change, ...]
    words: str


class Finding(Struct, frozen=True, gc=False):
    """One thing found: a stable code, where in the request, the sentence with the figures compared, and its source.

    `mend` is left out where nothing that was tried would remove it.
    """

    code: str
    severity: Severity
    pointer: str
    message: str
    source: str
    mend: Mend | UnsetType = UNSET

    @property
    def key(self) -> tuple[str, str]:
        """What tells it from others of the same plate: what was found, and where."""
        return self.code, self.pointer


class Case(Struct, frozen=True):
    """What checks of a plate look at: its build, and the shop that would make it."""

    build: Build
    shop: ShopData


class Offer(Struct, frozen=True):
    """What checks of an order look at: what it came to, against what was asked.

    `total` and `budget` are in minor units of the currency; the budget is None where it was not said. `in_turn_days` is
    what `lead_days` would be without a rush.
    """

    order: Order
    shop_id: str
    total: int
    lead_days: int
    budget: int | None
    currency: str
    minor_digits: int
    in_turn_days: int = 0


PRACTICE = "common practice, no source"
