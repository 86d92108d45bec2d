"""What no rule read: runs of the note, without greetings and words that carry nothing alone."""

from collections.abc import Iterator, Sequence
from typing import Final

from tallyplate.reading.items import Item
from tallyplate.reading.statements import Remainder
from tallyplate.reading.tokens import words

EMPTY: Final = words(
    "a an and are as at be by can could for from get have hello hey hi i if in is it its let like me morning my need "
    "of off on or our please plate plates quote regards send so thank thanks that the them these this to us want was "
    "we will with would you your dear kind best cheers good afternoon"
)
"""Greetings, thanks, and words that say nothing without others: at the ends of a run they are left out."""


def remainders(note: str, items: Sequence[Item], read: Sequence[bool]) -> Iterator[Remainder]:
    """The runs of items that were not read, each within one sentence."""
    run: list[Item] = []
    for one, done in zip(items, read, strict=True):
        if one.kind == "end" or done:
            yield from _of(note, run)
            run = []
        else:
            run.append(one)
    yield from _of(note, run)


def _of(note: str, run: list[Item]) -> Iterator[Remainder]:
    said = [place for place, one in enumerate(run) if one.kind != "mark" and one.text not in EMPTY]
    if said:
        start, end = run[said[0]].start, run[said[-1]].end
        yield Remainder(note[start:end], start, end)
