"""Which version of rates or shop data counts: the one pinned by digest, or the one in force on a date."""

from collections.abc import Iterator, Sequence
from datetime import date
from typing import TypeVar

from msgspec import UnsetType

from tallyplate.contract import Fault, ShopData, refuse
from tallyplate.rates.card import RateCard

Dated = TypeVar("Dated", RateCard, ShopData)


def absent_pin(versions: Sequence[Dated], pinned: str | UnsetType, name: str) -> Iterator[Fault]:
    """The fault of a pinned digest that is not here."""
    if pinned and all(version.digest != pinned for version in versions):
        here = ", ".join(f"{version.id} {version.digest}" for version in versions)
        yield Fault(f"/pins/{name}", f"{pinned} is not here; here are: {here}")


def in_force(versions: Sequence[Dated], day: date, pinned: str | None, name: str) -> Dated:
    """The version pinned by digest, or the last that was in force on a date; refuses where there is none."""
    for candidate in reversed(versions):
        if candidate.digest == pinned or (pinned is None and candidate.effective_from <= day):
            return candidate
    first = versions[0].effective_from.isoformat()
    raise refuse("/as_of", f"no {name.replace('_', ' ')} was in force on {day}; accepted: from {first} on")


def in_force_together(
    cards: Sequence[RateCard], shops: Sequence[ShopData], since: date | None = None
) -> Iterator[tuple[RateCard, ShopData]]:
    """Each rate card and shop data that are in force together on some day, of a date or later; both sorted by date."""
    days = {card.effective_from for card in cards} | {shop.effective_from for shop in shops}
    if since:
        days = {since, *(day for day in days if day > since)}
    for day in sorted(days):
        card = [card for card in cards if card.effective_from <= day]
        shop = [shop for shop in shops if shop.effective_from <= day]
        if card and shop:
            yield card[-1], shop[-1]
