"""Which edges shall be marked: the edges named beside a word for marking."""

from collections.abc import Iterator, Sequence
from typing import Final

from tallyplate.reading.items import Item
from tallyplate.reading.tokens import words

POINTER: Final = "/plate/marking/edges"
CUES: Final = words(
    "mark marked marking marks markings engrave engraved engraving lettered lettering numbered coordinates"
)
EDGES: Final = {"left": "left", "right": "right", "bottom": "bottom", "lower": "bottom", "top": "top", "upper": "top"}
ALL: Final = ("left", "right", "bottom", "top")
BETWEEN: Final = words(
    "on along at the of edge edges side sides and , & + : is to coordinates grid letters numbers rows columns with "
    "only hand"
)
NOT_EDGES: Final = words("face surface corner corners half")
FAR: Final = 10


def marked(items: Sequence[Item]) -> Iterator[tuple[int, int, tuple[str, ...]]]:
    """Every statement of marked edges: its first item, the one after its last, and the edges in the order said."""
    at = 0
    while at < len(items):
        if items[at].text in CUES:
            first = at - 1 if at and items[at - 1].text in {"no", "without"} else at
            after, edges = _edges(items, at + 1)
            if edges:
                yield first, after, edges
                at = after
                continue
            if first < at:
                yield first, at + 1, ()
            elif before := _edges_before(items, at):
                yield before[0], at + 1, before[1]
        at += 1


def _edges(items: Sequence[Item], start: int) -> tuple[int, tuple[str, ...]]:
    """The edges that begin at an item, and the item after the last of them."""
    found: list[str] = []
    last = start
    for place in range(start, min(start + FAR, len(items))):
        text = items[place].text
        if text == "all" and _all_four(items, place):
            return place + _all_four(items, place), ALL
        if text in EDGES and found and place == last and items[place - 1].text in EDGES:
            # "Top left" is a place on the plate rather than two of its edges.
            return start, ()
        if text in EDGES:
            found.append(EDGES[text])
            last = place + 1
        elif text in NOT_EDGES and place == last and found:
            return start, ()
        elif text in {"edge", "edges", "side", "sides"} and found:
            last = place + 1
        elif text not in BETWEEN and text not in CUES:
            break
    return last, tuple(dict.fromkeys(found))


def _all_four(items: Sequence[Item], at: int) -> int:
    """How many items "all four sides" takes at a place; none where it is not said."""
    texts = [one.text for one in items[at : at + 3]]
    if texts[1:2] and texts[1] in {"edges", "sides"}:
        return 2
    return 3 if len(texts) == 3 and texts[1] in {"four", "4"} and texts[2] in {"edges", "sides"} else 0  # noqa: PLR2004


def _edges_before(items: Sequence[Item], cue: int) -> tuple[int, tuple[str, ...]] | None:
    """Edges named right before the word for marking, as in "left and bottom edges marked"."""
    first = cue
    while first > max(0, cue - FAR) and (items[first - 1].text in EDGES or items[first - 1].text in BETWEEN - {","}):
        first -= 1
    while first < cue and items[first].text not in EDGES:
        first += 1
    found = tuple(dict.fromkeys(EDGES[one.text] for one in items[first:cue] if one.text in EDGES))
    return (first, found) if found else None
