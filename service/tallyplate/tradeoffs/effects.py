"""Effects: for each choice in a request, what its neighbours would cost, one change at a time."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from itertools import count
from typing import Final

from msgspec import UNSET, Struct, UnsetType
from msgspec.structs import replace

from tallyplate.answers import PriceAnswer, Version
from tallyplate.contract import Refusal
from tallyplate.tradeoffs.changes import making_way
from tallyplate.tradeoffs.choices import Choice, Value
from tallyplate.tradeoffs.curves import CURVES, MOST_POINTS, Curve, curves
from tallyplate.tradeoffs.neighbours import Neighbour, by_type, neighbours
from tallyplate.tradeoffs.start import Outcome, Start, errors, fields

MOST_EFFECTS: Final = 120
"""Neighbours that are priced for one request."""

TRIES: Final = 3
"""Times that one neighbour is priced at most: fields that make way for it may be named one after the other."""

MOST_PRICES: Final = 1 + TRIES * MOST_EFFECTS + MOST_POINTS * len(CURVES)
"""Prices that one answer takes at most, that of the request itself among them."""


class Effect(Outcome, frozen=True, kw_only=True):
    """One answer of a request replaced by a neighbour of it.

    `value` is the present answer, null where nobody said one; `given` says that the caller did. Make `changes` (JSON
    Pointer to new value, null to leave a field out) and the price is `total`, which is dearer by `difference`.
    """

    pointer: str
    title: str
    value: Value | None
    given: bool
    neighbour: Value
    words: str
    changes: dict[str, Value | None]
    difference: str | UnsetType = UNSET


class EffectsAnswer(Struct, frozen=True):
    """What each choice of a request is worth. All prices are of the rate card and shop data stated.

    `prices` counts the prices that it took, and `left_off` the neighbours that were too many to be priced.
    """

    currency: str
    quantity: int
    unit_price: str
    total: str
    can_be_made: bool
    effects: tuple[Effect, ...]
    curves: tuple[Curve, ...]
    prices: int
    left_off: int
    as_of: date
    rate_card: Version
    shop_data: Version


def effects(start: Start) -> EffectsAnswer:
    """The effects and curves of a request."""
    base, tried = start.base, count(1)

    def counted(request: object) -> PriceAnswer:
        next(tried)
        return start.price(request)

    counting = replace(start, price=counted)
    every = [(choice, other) for choice in start.choices() for other in neighbours(choice, start.plate, start.shop)]
    found = tuple(effect for pair in every[:MOST_EFFECTS] for effect in _effect(*pair, counting))
    drawn = tuple(curves(counting))
    return EffectsAnswer(
        currency=base.currency,
        quantity=base.quantity,
        unit_price=base.unit_price,
        total=base.total,
        can_be_made=not errors(base),
        effects=found,
        curves=drawn,
        prices=next(tried),
        left_off=len(every[MOST_EFFECTS:]),
        as_of=base.as_of,
        rate_card=base.rate_card,
        shop_data=base.shop_data,
    )


def _effect(choice: Choice, other: Neighbour, start: Start) -> Iterator[Effect]:
    """The effect of a neighbour; none where nobody said a present answer and this one changes nothing."""
    changes, price = _tried(choice, other, start)
    if choice.value is None and (isinstance(price, Refusal) or price.total == start.base.total):
        return
    yield Effect(
        **fields(price),
        pointer=choice.pointer,
        title=choice.title,
        value=choice.value,
        given=choice.given,
        neighbour=other.value,
        words=other.words,
        changes=changes,
        difference=UNSET if isinstance(price, Refusal) else str(Decimal(price.total) - Decimal(start.base.total)),
    )


def _tried(choice: Choice, other: Neighbour, start: Start) -> tuple[dict[str, Value | None], PriceAnswer | Refusal]:
    """A neighbour priced; where a choice leaves fields beside it no meaning, again without them.

    Only a choice by its type does: that a material comes in no such thickness is no reason to drop the thickness.
    """
    alone: dict[str, Value | None] = {choice.pointer: other.value}
    first = start.changed(alone)
    changes, price = alone, first
    for _ in range(TRIES - 1 if by_type(choice) else 0):
        without = making_way(start.request, choice.pointer, price) if isinstance(price, Refusal) else {}
        if not without:
            break
        changes = changes | without
        price = start.changed(changes)
    return (alone, first) if isinstance(price, Refusal) else (changes, price)
