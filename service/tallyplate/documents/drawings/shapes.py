"""The few shapes that a drawing is made of, in mm of paper, the vertical axis upward."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import cos, radians, sin
from typing import Final, Literal

from msgspec import Struct
from msgspec.structs import replace

from tallyplate.documents.texts import printable, shortened

Spot = tuple[float, float]

SMALL: Final = 1.8
NORMAL: Final = 2.5
LARGE: Final = 5.0
"""Heights in mm of capital letters; ISO 3098 has this series (from memory)."""

CAPITAL: Final = 0.72
"""Height of a capital over the size of the typeface, of the usual sans serif faces (from memory)."""


HELD: Final = 0.93
"""Share of its room from which a text is pressed into it."""


BOLD: Final = 0.9
"""Share of its room that a bold text is laid out for."""


class Line(Struct, frozen=True):
    """A straight line."""

    layer: str
    start: Spot
    end: Spot


class Area(Struct, frozen=True):
    """A filled polygon, such as an arrowhead."""

    layer: str
    corners: tuple[Spot, ...]


class Circle(Struct, frozen=True):
    """A circle."""

    layer: str
    centre: Spot
    radius: float


class Arc(Struct, frozen=True):
    """An arc, counter-clockwise between two angles in degrees."""

    layer: str
    centre: Spot
    radius: float
    start: float
    end: float

    def spot(self, angle: float) -> Spot:
        """The place on it at an angle in degrees."""
        return (
            self.centre[0] + self.radius * cos(radians(angle)),
            self.centre[1] + self.radius * sin(radians(angle)),
        )


class Text(Struct, frozen=True):
    """A text on its baseline; `height` is that of a capital, `angle` in degrees. A `squeezed` one is made to fit.

    `room` is the width in mm that it may take: 0 for words of our own, which are laid out to fit.
    """

    layer: str
    at: Spot
    words: str
    height: float = NORMAL
    anchor: Literal["start", "middle", "end"] = "start"
    angle: float = 0.0
    room: float = 0.0
    bold: bool = False


BEFORE: Final = {"start": 0.0, "middle": 0.5, "end": 1.0}
"""Share of a text that stands before its place, by its anchor."""

Shape = Line | Area | Circle | Arc | Text


def breadth(words: str, height: float) -> float:
    """About how wide a text comes out in a wide sans serif, in mm; the widths of signs were measured once."""
    return height / CAPITAL * sum(map(_sign, words))


def _sign(sign: str) -> float:
    if sign in " .,:;'|!ijlI/()[]-":
        return 0.34
    if sign.isascii():
        return 0.95 if sign in "MW@%" else 0.72 if sign.isupper() else 0.6
    return 0.8 if ord(sign) < 0x1100 else 1.1  # noqa: PLR2004 - from here on scripts are as wide as they are high


def fitted(text: Text, room: float) -> Text:
    """A text cut in its middle to about what the room holds."""
    signs = len(text.words)
    words = shortened(text.words, max(signs, 1))
    while breadth(words, text.height) > room and signs > 1:
        signs -= 1
        words = shortened(words, signs)
    return replace(text, words=words)


def pressed(text: Text, room: float) -> Text:
    """A stranger's text, cut and then held to the room whatever its signs look like."""
    return replace(fitted(text, room), room=room)


def wrapped(words: str, height: float, room: float) -> list[str]:
    """A text whole, in as many lines as the room asks for; a word is parted only where a line cannot hold it."""
    lines = [""]
    for word in printable(words).split():
        if lines[-1]:
            if breadth(f"{lines[-1]} {word}", height) > room:
                lines.append("")
            else:
                lines[-1] += " "
        for sign in word:
            if lines[-1] and breadth(lines[-1] + sign, height) > room:
                lines.append("")
            lines[-1] += sign
    return lines


def stacked(first: Text, lines: Sequence[str], step: float, room: float) -> Iterator[Text]:
    """Lines below each other from the place of the first, each held to the room whatever its signs look like."""
    x, y = first.at
    for number, line in enumerate(lines):
        yield replace(first, at=(x, y - number * step), words=line, room=room)


def held(text: Text) -> float:
    """The width in mm that a stranger's text is pressed into; 0 where it is short enough to be left alone."""
    wide = breadth(text.words, text.height)
    return min(wide, text.room) if wide > HELD * text.room else 0.0


def polyline(layer: str, corners: tuple[Spot, ...], *, closed: bool = False) -> Iterator[Line]:
    """Lines from corner to corner."""
    for start, end in pairwise((*corners, corners[0]) if closed else corners):
        yield Line(layer, start, end)


def rectangle(layer: str, left: float, lower: float, right: float, upper: float) -> Iterator[Line]:
    """A rectangle's four sides."""
    return polyline(layer, ((left, lower), (right, lower), (right, upper), (left, upper)), closed=True)
