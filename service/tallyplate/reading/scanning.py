"""From tokens to items: at each place the longest meaning, in a fixed order."""

from collections.abc import Callable, Sequence

from tallyplate.reading import dates, sums
from tallyplate.reading.items import Item, Made, item
from tallyplate.reading.lengths import length, size
from tallyplate.reading.offer import Offer
from tallyplate.reading.screws import screw
from tallyplate.reading.tokens import Token, tokens


def items(note: str, offer: Offer) -> list[Item]:
    """The items of a note, in order; every token is in one."""
    pieces = tokens(note)
    found: list[Item] = []
    at = 0
    while at < len(pieces):
        made, at = _next(pieces, at, offer)
        found.append(made)
    return found


def _next(pieces: Sequence[Token], at: int, offer: Offer) -> Made:
    if pieces[at].kind in {"code", "end"}:
        kind = pieces[at].kind
        return item("code" if kind == "code" else "end", pieces, at, at + 1)
    readers: tuple[Callable[[], Made | None], ...] = (
        lambda: dates.found(pieces, at, offer.written),
        lambda: screw(pieces, at, offer.shop.screws),
        lambda: sums.found(pieces, at, offer.currency),
        lambda: size(pieces, at),
        lambda: _length(pieces, at),
    )
    for reader in readers:
        made = reader()
        if made:
            return made
    kind = "mark" if pieces[at].kind == "mark" else "word"
    return item("mark" if kind == "mark" else "word", pieces, at, at + 1)


def _length(pieces: Sequence[Token], at: int) -> Made | None:
    found = length(pieces, at)
    if found is None:
        return None
    measure, after = found
    return item("length" if measure.unit else "count", pieces, at, after, measure)
