"""Phrases about items: a pattern of words and places for values, tried at each item.

A pattern is a line of elements. `thick|thk` is one word of several; `{thickness}` is a place for the value of a field,
and `{thickness!}` for one with its unit; a `?` behind either says that it may be left out. Between elements a few words
may stand that carry no meaning here.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Final

from msgspec import Struct

from tallyplate.reading.items import Item
from tallyplate.reading.tokens import words

FILLERS: Final = words(": = | . - \u2013 is of the a an are be should to at @ must shall 's")
MOST_FILLERS: Final = 3

PLACES: Final[Mapping[str, tuple[str, ...]]] = {
    "length": ("length", "count"),
    "measure": ("length",),
    "count": ("count",),
    "screw": ("screw",),
    "sum": ("sum",),
    "date": ("date",),
}
"""The kinds of item that a place for a value takes."""


class Element(Struct, frozen=True):
    """One element of a pattern: words, or a place for the value of a field."""

    words: frozenset[str]
    field: str
    kinds: tuple[str, ...]
    optional: bool


class Phrase(Struct, frozen=True):
    """A pattern, what its words alone say, and what must be true around it.

    `needs` are words of which one must stand in the sentence, `then` the only words that may follow. `open` says why
    the values of the phrase are not certain.
    """

    elements: tuple[Element, ...]
    says: Mapping[str, Any]
    needs: frozenset[str]
    then: frozenset[str]
    open: str


class Match(Struct, frozen=True):
    """A phrase found: the items from `first` up to `after`, and the values in its places."""

    phrase: Phrase
    first: int
    after: int
    values: tuple[tuple[str, Item], ...]


Index = Mapping[str, Sequence[Phrase]]
"""Phrases by the words or kinds of item that they may begin with."""


def phrase(
    pattern: str, fields: Mapping[str, str], *, needs: str = "", then: str = "", why_open: str = "", **says: object
) -> Phrase:
    """A phrase from its pattern; `fields` gives the kind of value of each field, as in `PLACES`."""
    elements = []
    for part in pattern.split():
        bare = part.removesuffix("?")
        optional = bare != part
        if bare.startswith("{"):
            name = bare.strip("{}")
            measured, name = name.endswith("!"), name.removesuffix("!")
            elements.append(Element(frozenset(), name, PLACES["measure" if measured else fields[name]], optional))
        else:
            elements.append(Element(frozenset(bare.split("|")), "", (), optional))
    return Phrase(tuple(elements), says, frozenset(needs.split()), frozenset(then.split()), why_open)


def index(phrases: Iterable[Phrase]) -> Index:
    """The phrases by what they begin with."""
    made: dict[str, list[Phrase]] = defaultdict(list)
    for one in phrases:
        for element in one.elements:
            for key in element.words or element.kinds:
                made[f"{'' if element.words else '#'}{key}"].append(one)
            if not element.optional:
                break
    return made


def matches(items: Sequence[Item], phrases: Index) -> list[Match]:
    """The phrases of a note: at each place the longest, and none inside another."""
    found: list[Match] = []
    at = 0
    while at < len(items):
        here = items[at]
        tried = (_matched(items, at, one) for one in (*phrases.get(here.text, ()), *phrases.get(f"#{here.kind}", ())))
        longest = max((one for one in tried if one), key=lambda one: one.after, default=None)
        if longest:
            found.append(longest)
        at = longest.after if longest else at + 1
    return found


def _matched(items: Sequence[Item], at: int, one: Phrase) -> Match | None:
    """The phrase at a place: each element at the first item where it can be, or left out where that is allowed."""
    values: list[tuple[str, Item]] = []
    then = at
    for element in one.elements:
        place = _place(items, then, element, first=then == at)
        if place is None:
            if element.optional:
                continue
            return None
        if element.field:
            values.append((element.field, items[place]))
        then = place + 1
    if one.needs and not one.needs & {other.text for other in sentence(items, at)}:
        return None
    if one.then and then < len(items) and not _may_follow(items[then - 1], items[then], one.then):
        return None
    return Match(one, at, then, tuple(values)) if then > at else None


def _may_follow(last: Item, here: Item, words: frozenset[str]) -> bool:
    if here.kind == "mark":
        return here.text != "-" or here.start > last.end
    return here.text in words if here.kind == "word" else here.kind in {"end", "size", "date"}


def _place(items: Sequence[Item], then: int, element: Element, *, first: bool) -> int | None:
    for place in range(then, min(then + 1 + (0 if first else MOST_FILLERS), len(items))):
        here = items[place]
        if here.kind == "end":
            return None
        if here.text in element.words if element.words else here.kind in element.kinds:
            return place
        if here.text not in FILLERS:
            return None
    return None


NEAR: Final = 40
"""Items on either side within which a sentence is looked at."""


def sentence(items: Sequence[Item], at: int) -> Sequence[Item]:
    """The items of the sentence around a place, as far as they are near."""
    first, last = at, at
    while first > max(0, at - NEAR) and items[first - 1].kind != "end":
        first -= 1
    while last < min(len(items), at + NEAR) and items[last].kind != "end":
        last += 1
    return items[first:last]
