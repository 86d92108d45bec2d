"""A reader of DXF that knows nothing but its pairs of lines: a group code and a value, the basis of the format."""

from collections.abc import Iterator
from itertools import pairwise

from msgspec import Struct

Pair = tuple[int, str]


class Entity(Struct, frozen=True):
    """An entity: its kind and its pairs."""

    kind: str
    pairs: tuple[Pair, ...]

    def first(self, code: int) -> str:
        """The first value under a code."""
        return next(value for found, value in self.pairs if found == code)

    def number(self, code: int) -> float:
        """The same as a figure."""
        return float(self.first(code))


def pairs(text: str) -> Iterator[Pair]:
    """Every pair of a file."""
    lines = text.splitlines()
    assert len(lines) % 2 == 0
    for place in range(0, len(lines), 2):
        yield int(lines[place]), lines[place + 1]


def entities(text: str) -> Iterator[Entity]:
    """Whatever begins with code 0, in order."""
    every = list(pairs(text))
    starts = [place for place, (code, _) in enumerate(every) if code == 0] + [len(every)]
    for start, end in pairwise(starts):
        yield Entity(every[start][1], tuple(every[start + 1 : end]))


def section(text: str, name: str) -> list[Entity]:
    """The entities of a section."""
    found, inside = [], False
    for one in entities(text):
        if one.kind == "SECTION":
            inside = (2, name) in one.pairs
        elif one.kind == "ENDSEC":
            inside = False
        elif inside:
            found.append(one)
    return found


def blocks(text: str) -> dict[str, list[Entity]]:
    """What each block is made of."""
    found: dict[str, list[Entity]] = {}
    name = ""
    for one in section(text, "BLOCKS"):
        if one.kind == "BLOCK":
            name = one.first(2)
            found[name] = []
        elif one.kind != "ENDBLK":
            found[name].append(one)
    return found
