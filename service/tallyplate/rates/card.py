"""A rate card: money, from a date. Finance owns it."""

from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

from msgspec import UNSET, Struct, UnsetType

from tallyplate.contract.figures import PerHour
from tallyplate.money import Rounding
from tallyplate.rates.inherit import Resolved
from tallyplate.rates.quoting import QuoteTerms


class RateCard(Struct, frozen=True, eq=False):
    """One card, as loaded: compared by identity, named by id and digest. `sections` go by module name."""

    id: str
    effective_from: date
    digest: str
    currency: str
    minor_digits: int
    rounding: Rounding
    time_zone: ZoneInfo
    work_centers: dict[str, PerHour]
    sections: dict[str, Any]
    resolved: Resolved
    """What was written, here or in the cards inherited from."""
    quotes: QuoteTerms | UnsetType = UNSET
    """What is said of quotes; a card that says nothing makes none."""
