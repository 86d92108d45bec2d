"""Days on which there is a rate card and no shop data, or the other way round.

Each is in force until the next one of its kind, so that only the first of each can leave a gap.
"""

from collections.abc import Iterator, Mapping, Sequence
from datetime import timedelta

from tallyplate.contract import ShopData
from tallyplate.rates.card import RateCard
from tallyplate.rates.inherit import Resolved
from tallyplate.rates.sections import problem


def gaps(cards: Sequence[RateCard], shops: Sequence[ShopData], shop_files: Mapping[str, Resolved]) -> Iterator[str]:
    """What is missing on which days, at the file that begins too late. Both stand by date, the files by id."""
    if cards[0].effective_from < shops[0].effective_from:
        yield _gap(cards, shops[0], shop_files[shops[0].id], "rate card", "shop data")
    if shops[0].effective_from < cards[0].effective_from:
        yield _gap(shops, cards[0], cards[0].resolved, "shop data", "rate card")


def _gap(
    early: Sequence[RateCard] | Sequence[ShopData], late: RateCard | ShopData, file: Resolved, has: str, lacks: str
) -> str:
    alone = ", ".join(one.id for one in early if one.effective_from < late.effective_from)
    days = f"from {early[0].effective_from} to {late.effective_from - timedelta(1)}"
    reason = f"{days} there is {has} {alone} and no {lacks}, hence no price; accepted: {early[0].effective_from}"
    return problem(file, ("effective_from",), reason)
