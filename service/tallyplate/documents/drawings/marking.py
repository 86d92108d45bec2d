"""The engraved letters and numbers along the sides of a face."""

from collections.abc import Iterator, Sequence
from typing import Final

from msgspec.structs import replace

from tallyplate.contract import Build, Lattice, letters
from tallyplate.documents.drawings.shapes import NORMAL, SMALL, Text, breadth, pressed
from tallyplate.documents.drawings.views import Placed
from tallyplate.documents.texts import printable

EVERY: Final = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)
"""Which names are drawn where there is no room for all."""

SIDES: Final = ("bottom", "top", "left", "right")

BEYOND: Final = 1.0
"""From the outline to names that stand outside it, in mm of paper."""

LEAST: Final = 1.4
"""Least height in mm of a name on paper."""


def engraved_names(build: Build, view: Placed, lattice: Lattice) -> list[Text]:
    """The names along every marked side, within the margin where it is wide enough."""
    return names_along(build, view, lattice, f"{view.face.engraved} " if view.face.engraved != "top" else "")


def names_along(build: Build, view: Placed, lattice: Lattice, prefix: str) -> list[Text]:
    """The names along the marked sides of a face or a part of one, which in marks are known by a prefix."""
    coordinates = [marks for marks in build.marks if not marks.text]
    sides = {marks.side.removeprefix(prefix) for marks in coordinates if marks.side.startswith(prefix)}
    return [text for side in SIDES if side in sides for text in _along(view, lattice, side)]


def untold(build: Build, views: Sequence[Placed]) -> Iterator[str]:
    """A customer's own texts that their sides have no room for on paper."""
    for view in views:
        for text, words, side in _engraved(build, view):
            if text.words != printable(words):
                yield f"Engraved on {view.face.title}, {side}: {words}"


def engraved_texts(build: Build, view: Placed) -> Iterator[Text]:
    """A customer's own text where it is engraved: in the middle of its side, just within the outline."""
    return (text for text, _, _ in _engraved(build, view))


def _engraved(build: Build, view: Placed) -> Iterator[tuple[Text, str, str]]:
    """Each text with its words whole, and its side."""
    if view.face.plan and build.body.faces:
        return  # each of these is seen in a view of its own
    prefix = "" if view.face.plan else f"{view.face.title} "
    left, lower, right, upper = view.box
    for marks in build.marks:
        side = marks.side.removeprefix(prefix)
        if not marks.text or not marks.side.startswith(prefix) or side not in SIDES:
            continue
        across = side in {"bottom", "top"}
        room = (right - left if across else upper - lower) / (2 if view.face.disc else 1)
        text = pressed(Text("MARKING", (0.0, 0.0), marks.text, SMALL, "middle", 0.0 if across else 90.0), room)
        middle = ((left + right) / 2, (lower + upper) / 2)
        at = {
            "bottom": (middle[0], lower + BEYOND),
            "top": (middle[0], upper - BEYOND - SMALL),
            "left": (left + BEYOND + SMALL, middle[1]),
            "right": (right - BEYOND, middle[1]),
        }[side]
        yield replace(text, at=at), marks.text, side


def _along(view: Placed, lattice: Lattice, side: str) -> list[Text]:
    face, scale = view.face, view.scale
    across = side in {"bottom", "top"}
    axis = 0 if across else 1
    first, pitch, count = (
        (lattice.x, lattice.pitch_x, lattice.columns) if across else (lattice.y, lattice.pitch_y, lattice.rows)
    )
    margin = {
        "bottom": lattice.y,
        "left": lattice.x,
        "top": face.width - lattice.y - (lattice.rows - 1) * lattice.pitch_y,
        "right": face.length - lattice.x - (lattice.columns - 1) * lattice.pitch_x,
    }[side]
    widest = max((group.hole.widest for _, group in face.groups if not group.mounting), default=0.0)
    room = (margin - widest / 2) * scale
    inside = room >= 2 * LEAST and not face.disc and not _crossed(view, side, room / scale)
    height = min(NORMAL, max(LEAST, room / 2)) if inside else SMALL
    longest = breadth(letters(count), height) if across else height
    step = next((one for one in EVERY if one * pitch * scale >= longest + 1), EVERY[-1])
    edge = {"bottom": view.box[1], "left": view.box[0], "top": view.box[3], "right": view.box[2]}[side]
    inward = 1 if side in {"bottom", "left"} else -1
    texts = []
    for place in range(0, count, step):
        words = letters(place + 1) if across else str(place + 1)
        half = (height if across else breadth(words, height)) / 2
        away = edge + inward * (room / 2 if inside else -BEYOND - half)
        along = view.corner[axis] + (first + place * pitch) * scale
        at = (along, away - height / 2) if across else (away, along - height / 2)
        texts.append(Text("MARKING", at, words, height, "middle"))
    return texts


def _crossed(view: Placed, side: str, deep: float) -> bool:
    """Whether a mounting hole reaches into the strip along a side, so many mm deep, that names would stand in."""
    face = view.face
    for _, group in face.groups:
        if group.mounting:
            reach = group.hole.widest / 2 + deep
            for x, y in group.layout.positions():
                if {"bottom": y, "left": x, "top": face.width - y, "right": face.length - x}[side] < reach:
                    return True
    return False
