"""The items of a note as they are read: each taken at most once, each statement with what makes it doubtful."""

from collections.abc import Iterable
from typing import Any, Final

from msgspec import Struct

from tallyplate.inquiry import MAX_QUANTITY
from tallyplate.reading.doubts import doubt
from tallyplate.reading.items import Item, Measure, Named
from tallyplate.reading.phrases import FIELDS
from tallyplate.reading.statements import Statement

COUNTED: Final = frozenset(pointer for kind, pointers in FIELDS.values() if kind == "count" for pointer in pointers)
"""The pointers whose values are whole numbers where they are figures."""


class Scan(Struct):
    """The items of a note, which of them have been read, and as what."""

    items: list[Item]
    done: list[bool]
    statements: list[Statement]

    def free(self, first: int, after: int) -> bool:
        """Whether none of some items has been read."""
        return not any(self.done[first:after])

    def take(self, first: int, after: int, said: Iterable[tuple[str, Any]], why: str = "") -> None:
        """Note that some items state values for pointers; `why` says why these are not certain."""
        start, end = self.items[first].start, self.items[after - 1].end
        self.done[first:after] = [True] * (after - first)
        for pointer, value in said:
            doubtful = why or doubt(self.items, first, after, pointer)
            self.statements.append(statement(pointer, value, start, end, doubtful))


def statement(pointer: str, value: Any, start: int, end: int, why: str) -> Statement:  # noqa: ANN401 - of any kind
    """A statement of a value as an item has it."""
    if isinstance(value, Named):
        rival = value.name is None and value.rival and not why
        choices = () if rival and value.absent else value.choices
        return Statement(pointer, value.name, start, end, why or value.why, choices, value.because, rival)
    if not isinstance(value, Measure):
        return Statement(pointer, value, start, end, why, (value,) if why else ())
    if pointer in COUNTED:
        return _counted(pointer, value, start, end, why)
    number = value.number
    choices = tuple(f"{one} {value.unit}" for one in number.readings) if value.unit else number.readings
    return Statement(pointer, value, start, end, why or number.doubtful, choices)


def _counted(pointer: str, value: Measure, start: int, end: int, why: str) -> Statement:
    amount = value.number.amount
    whole = amount.denominator == 1 and 0 < amount <= MAX_QUANTITY
    return Statement(pointer, int(amount), start, end, why or ("" if whole else "is no number of pieces"))
