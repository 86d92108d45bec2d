"""Reading a note: the one way through, from its text to what it certainly asks for."""

import re
from bisect import bisect
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import pairwise
from operator import itemgetter
from typing import Any, Final

from msgspec.structs import replace

from tallyplate.contract import Family, refuse
from tallyplate.pointers import applied
from tallyplate.reading import marking, offered, quantities, settling, sizes
from tallyplate.reading.doubtful_words import REWORKED
from tallyplate.reading.doubts import ELSEWHERE, doubt
from tallyplate.reading.items import Item, Measure, Named
from tallyplate.reading.lengths import ACROSS
from tallyplate.reading.matching import Index, Match, index, matches, phrase
from tallyplate.reading.numbers import DIMENSION
from tallyplate.reading.offer import Offer
from tallyplate.reading.phrases import FIELDS, KINDS, PHRASES
from tallyplate.reading.remainders import remainders
from tallyplate.reading.scan import Scan, statement
from tallyplate.reading.scanning import items as scanned
from tallyplate.reading.statements import ReadAnswer, Reading, Statement, Unclear, Value
from tallyplate.reading.units_said import settled

MAX_NOTE: Final = 10_000
"""Longest note that is read, in characters."""

MATERIAL: Final = "/plate/material"
FINISH: Final = "/plate/finish"
QUANTITY: Final = "/quantity"


def read(note: str, offer: Offer) -> Reading:
    """What a note asks for, as far as it is certain, with the words for each answer.

    Raises `Refusal` for a note of more than `MAX_NOTE` characters.
    """
    if len(note) > MAX_NOTE:
        raise refuse("/note", f"has {len(note)} characters; accepted: at most {MAX_NOTE}")
    found, mentions = _named(scanned(note, offer), offer)
    scan = Scan(found, [False] * len(found), [])
    for match in matches(found, _phrases(offer.families)):
        scan.take(match.first, match.after, _said(match), match.phrase.open)
    described = _mentions(scan, mentions)
    for first, after, edges in marking.marked(found):
        if scan.free(first, after):
            scan.take(first, after, [(marking.POINTER, edges)])
    for first, after in quantities.counted(found, described.__contains__):
        if scan.free(first, first + 1):
            _count(scan, first, after)
    said = sorted((one.start, one.end) for one in scan.statements if one.pointer == QUANTITY)
    for at in quantities.corrected(found, lambda one: any(end > one.start for _, end in _last(said, one.start))):
        _count(scan, at, at + 1)
    _sizes(scan, offer)
    return _reading(note, scan, offer)


def _phrases(families: Mapping[str, Family]) -> Index:
    """The phrasebook, with the families by their titles."""
    titles = index(
        phrase(" ".join(said), KINDS, family=name)
        for name, one in families.items()
        if not set(said := re.findall("[a-z]+", one.title.lower())) <= {"plate", "fixture"}
    )
    return {key: (*PHRASES.get(key, ()), *titles.get(key, ())) for key in {*PHRASES, *titles}}


def _said(match: Match) -> Iterator[tuple[str, Any]]:
    """The pointers and values of a phrase: those in its places, and those that its words alone say."""
    for name, one in match.values:
        yield from ((pointer, one.value) for pointer in FIELDS[name][1])
    for name, value in match.phrase.says.items():
        yield from ((pointer, value) for pointer in FIELDS[name][1])


def _count(scan: Scan, at: int, after: int) -> None:
    """A number before the word for plates: it alone is read, and the word where nothing else read it."""
    one = scan.items[at]
    why = doubt(scan.items, at, at + 1, QUANTITY)
    scan.done[at] = True
    words_to = scan.items[after - 1].end
    scan.statements.append(statement(QUANTITY, one.value, one.start, words_to, why))


Mention = tuple[str, int, int, Named]
"""A material or finish: its pointer, the items from the first up to the last, and what they name."""


def _named(found: list[Item], offer: Offer) -> tuple[list[Item], list[Mention]]:
    """The items with the figures of materials as words, which they are, and the mentions of materials and finishes."""
    mentions = [(FINISH, *one) for one in offered.finishes(found, offer.shop)]
    mentions += [(MATERIAL, *one) for one in offered.materials(found, offer.shop)]
    named = {place for _, first, after, _ in mentions for place in range(first, after)}
    return [replace(one, kind="word") if place in named else one for place, one in enumerate(found)], mentions


def _mentions(scan: Scan, mentions: Iterable[Mention]) -> frozenset[int]:
    """Read materials and finishes; returns the places of their words."""
    places: set[int] = set()
    for pointer, first, after, named in mentions:
        if scan.free(first, after):
            scan.take(first, after, [(pointer, named)])
            places.update(range(first, after))
    return frozenset(places)


def _sizes(scan: Scan, offer: Offer) -> None:
    """Read the sizes of boxes, for the family that the rest of the note names."""
    named = {one.value for one in scan.statements if one.pointer == settling.FAMILY and not one.why}
    family = str(next(iter(named))) if len(named) == 1 else None
    for at, one in enumerate(scan.items):
        if one.kind == "size" and not scan.done[at]:
            across = at > 0 and scan.items[at - 1].text in ACROSS
            first = at - across
            scan.done[first : at + 1] = [True] * (at + 1 - first)
            cut = at > 0 and scan.items[at - 1].text in {*DIMENSION, "by"}
            why = "more sizes stand before these" if cut else doubt(scan.items, first, at + 1, sizes.FLAT[0])
            scan.statements += sizes.stated(one, family, why)
    # A size that is not certain tells the family all the same, if it is one of the plate.
    ours = [one for one in scan.statements if not one.why.startswith(ELSEWHERE)]
    if not _there(scan) and not any(one.pointer == settling.FAMILY for one in ours):
        inferred = settling.family(ours, offer.families)
        scan.statements += [inferred] if inferred else []


def _last(stretches: Sequence[tuple[int, int]], at: int) -> Sequence[tuple[int, int]]:
    """The last of some stretches in order that begins before a place, or at it; none where all begin later."""
    later = bisect(stretches, at, key=itemgetter(0))
    return stretches[max(0, later - 1) : later]


def _there(scan: Scan) -> bool:
    """Whether the note may be of a plate that is there already."""
    texts = [one.text for one in scan.items]
    return not REWORKED.isdisjoint(texts) or ("our", "plate") in pairwise(texts)


def _reading(note: str, scan: Scan, offer: Offer) -> Reading:
    statements = settling.agreed(settled(scan.statements, offer.shop))
    statements = settling.accepted(statements, offer.families, there=_there(scan))
    statements.sort(key=lambda one: (one.start, one.pointer))
    answers: dict[str, ReadAnswer] = {}
    unclear: list[Unclear] = []
    for one in statements:
        words = note[one.start : one.end]
        if one.why:
            unclear.append(Unclear(one.pointer, words, one.start, one.end, one.why, _choices(one)))
        elif one.pointer not in answers:
            value: Value = settling.shown(one.value)
            answers[one.pointer] = ReadAnswer(one.pointer, value, words, one.start, one.end, one.because)
    request = applied({"plate": {}}, {pointer: one.value for pointer, one in answers.items()})
    left = tuple(remainders(note, scan.items, scan.done))
    return Reading(request, tuple(answers.values()), tuple(dict.fromkeys(unclear)), left)


def _choices(one: Statement) -> tuple[Any, ...]:
    """What a statement that is not certain could mean, as far as that can be said."""
    if one.choices or one.value is None:
        return one.choices
    return (settling.shown(one.value),) if not isinstance(one.value, Measure) or one.value.unit else ()
