"""What can be read for: the families, the shop's materials, finishes and screws, and the rate card's currency."""

from collections.abc import Mapping
from datetime import date

from msgspec import Struct

from tallyplate.contract import Family, ShopData


class Offer(Struct, frozen=True):
    """What is on offer, and the date on which the note was written, where it is known."""

    families: Mapping[str, Family]
    shop: ShopData
    currency: str
    written: date | None = None
