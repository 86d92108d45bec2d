"""How many: a number with nothing but the plate's own description between it and the word "plates"."""

from collections.abc import Callable, Iterator, Sequence
from typing import Final

from tallyplate.reading.items import Item
from tallyplate.reading.tokens import words

THINGS: Final = words("plates tombstones subplates discs fixtures")
ONE: Final = words("plate tombstone subplate disc")
DESCRIBING: Final = words(
    "fixture modular tooling grid sub - new identical matching custom made off x of such same more more round circular "
    "rectangular square flat the these thick long wide hollow solid spare replacement"
)
TIMES: Final = words("x \u00d7 off")
"""Words behind a number after which one plate stands for several."""

FAR: Final = 12
BACK: Final = 24
"""Items in which what a correction corrects is looked for."""


def counted(items: Sequence[Item], described: Callable[[int], bool]) -> Iterator[tuple[int, int]]:
    """Numbers of plates: the place of the number, and the item after the word for the plates.

    `described` tells whether an item is of a material, a finish or a size.
    """
    for at, one in enumerate(items):
        if one.kind != "count":
            continue
        for place in range(at + 1, min(at + FAR, len(items))):
            text = items[place].text
            if text in THINGS or (text in ONE and (one.value.number.amount == 1 or items[at + 1].text in TIMES)):
                yield at, place + 1
                break
            if not (described(place) or text in DESCRIBING or items[place].kind in {"size", "length"}):
                break


def corrected(items: Sequence[Item], of_plates: Callable[[Item], bool]) -> Iterator[int]:
    """Bare numbers that "make that" puts in the place of a number of plates, where that is the last value."""
    for at, one in enumerate(items):
        here = items[at : at + 4]
        making = one.text == "make" and len(here) > 2 and here[1].text in {"that", "it"} and here[2].kind == "count"  # noqa: PLR2004
        if making and (not here[3:] or here[3].kind == "end"):
            last = next((other for other in items[max(0, at - BACK) : at][::-1] if _single(other)), None)
            if last and of_plates(last):
                yield at + 2


def _single(one: Item) -> bool:
    """Whether an item is one number, or sizes of which one has no unit: what a bare number may stand for."""
    return one.kind in {"count", "length"} or (
        one.kind == "size" and any(part.measure.unit is None for part in one.value)
    )
