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
