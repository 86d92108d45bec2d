"""A plate as it was asked for, what is known of it, and what would be made."""

from datetime import date

from msgspec import Struct

from tallyplate.contract import Assumption, Build, PlateSpec, ShopData
from tallyplate.findings import Finding
from tallyplate.inquiry import Inquiry
from tallyplate.pricing import Work
from tallyplate.rates.card import RateCard


class Asked(Struct, frozen=True, eq=False):
    """A plate as it was asked for; two are the same where their JSON is, to the letter."""

    text: bytes
    family: str
    spec: PlateSpec

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Asked) and self.text == other.text

    def __hash__(self) -> int:
        return hash(self.text)


class Known(Struct, frozen=True):
    """All about a plate that no order changes."""

    work: Work
    assumed: tuple[Assumption, ...]
    findings: tuple[Finding, ...]


class Made(Struct, frozen=True):
    """What an order of a plate would be made as, what was found about it, and what it was made from."""

    inquiry: Inquiry
    build: Build
    findings: tuple[Finding, ...]
    as_of: date
    shop: ShopData
    card: RateCard
