"""What a note states: a value for a place in the request, its words, and what makes it less than certain."""

from typing import Any

from msgspec import Struct

from tallyplate.reading.items import Measure

Value = str | int | bool | tuple[str, ...]


class Statement(Struct, frozen=True):
    """One value as it was said, for a pointer into the request.

    `value` is a `Measure` until its unit is settled. `why` says why it is not certain, with the `choices` that it could
    mean, and `because` by which rule it is, where the words alone do not say it. A `rival` is certainly
    meant, only not clear: a value that is not among its choices contradicts it.
    """

    pointer: str
    value: Value | Measure | None
    start: int
    end: int
    why: str = ""
    choices: tuple[Any, ...] = ()
    because: str = ""
    rival: bool = False


class ReadAnswer(Struct, frozen=True, omit_defaults=True):
    """A value that was read with certainty, and the words that it came from.

    `because` names the rule that settles what the words leave out, such as a unit.
    """

    pointer: str
    value: Value
    words: str
    start: int
    end: int
    because: str = ""


class Unclear(Struct, frozen=True):
    """Words that were seen but are not certain: for which field, why, and what they could mean. They fill nothing."""

    pointer: str
    words: str
    start: int
    end: int
    why: str
    choices: tuple[Any, ...] = ()


class Remainder(Struct, frozen=True):
    """Words that no rule read."""

    words: str
    start: int
    end: int


class Reading(Struct, frozen=True):
    """What a note asks for, as far as it is certain: a request for `/v1/questions`, and what was left open.

    Every answer stands in the request, and nothing else does.
    """

    request: dict[str, Any]
    answers: tuple[ReadAnswer, ...]
    unclear: tuple[Unclear, ...]
    not_understood: tuple[Remainder, ...]
