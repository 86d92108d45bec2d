"""A card that is not in force: it may inherit from the cards that are here, and is checked as they are."""

from collections.abc import Mapping, Sequence

from tallyplate.contract import CostModule, ShopData
from tallyplate.decoding import shown
from tallyplate.rates.card import RateCard
from tallyplate.rates.files import DataError
from tallyplate.rates.inherit import INHERITS, Written, resolve
from tallyplate.rates.lines import nearest
from tallyplate.rates.load import mismatches, rate_card

DRAFT = ""
"""Stands for the draft among the ids of cards, so that it may bear the id of the card that it would replace."""


def draft(written: Written, cards: Sequence[RateCard], modules: Mapping[str, CostModule], shop: ShopData) -> RateCard:
    """The card that a draft makes, for use with that shop data; raises `DataError` with every problem."""
    # A card's own file is laid over those that it inherits from, and so is the one known for the whole of it.
    here = {card.id: card.resolved.origins[()] for card in cards}
    resolved, unresolved = resolve({**here, DRAFT: written})
    if unresolved:
        place, parent = f"{written.file}:{nearest(written.lines, (INHERITS,))}", shown(written.data[INHERITS])
        raise DataError(f"{place}: {INHERITS}: {parent} is not here; accepted: {', '.join(sorted(here))}")
    card = rate_card(resolved[DRAFT], modules)
    problems = tuple(mismatches(card, shop, modules))
    if problems:
        raise DataError(*problems)
    return card
