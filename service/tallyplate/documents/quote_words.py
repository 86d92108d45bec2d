"""A plate in words, for whoever buys it: what is made, how it is held, and what comes with it."""

from collections.abc import Iterable, Iterator
from typing import Final

from tallyplate.contract import Build, ShopData
from tallyplate.documents.quote_conventions import Writing
from tallyplate.documents.schedules.holes import HoleType, hole_types
from tallyplate.documents.schedules.parts import ITEMS

DIAMETER: Final = "\u00d8"

SURFACES: Final = {"t_slots": "T-slots", "tapped_grid": "tapped grid"}
LOCATED: Final = {
    "pins": "located by pins",
    "retractable_pins": "located by retractable pins",
    "keys": "located by keys",
    "none": "not located",
}
FITTED: Final = {"bushing": "with hardened bushings", "thread_insert": "with wire thread inserts"}
HOLES: Final = {"pin": "pin", "holding": "mounting"}
"""Kinds of hole by the words of a buyer, where the shop's own say less."""

Fact = tuple[str, str]


def facts(build: Build, shop: ShopData, writing: Writing) -> Iterator[Fact]:
    """What is said of a plate beside its size and material, as pairs of a name and words."""
    unit = writing.measure.unit
    if upright := sum(face.reach > 0 for face in build.body.faces):
        yield "Working faces", str(upright)
    types = hole_types(build)
    yield "Holes", "; ".join(_holes(one) for one in types if not one.mounting)
    yield "Hole position", f"within {DIAMETER} {writing.length(build.position_tolerance)} {unit} over the plate"
    yield "Flatness", f"within {writing.length(build.flatness)} {unit}"
    yield "Finish", shop.finishes[build.finish].title
    yield from _mounting(build, [one for one in types if one.mounting], writing)
    if coordinates := [mark.side for mark in build.marks if not mark.text]:
        yield "Engraved", f"coordinates along {_listed(coordinates)}"
    for mark in build.marks:
        if mark.text:
            yield "Engraved text", f"{mark.text}, along {mark.side}"
    if build.hardware:
        bought = [f"{part.count} {_part(part.kind)} {part.size}" for part in build.hardware]
        yield "Supplied with each", _listed(bought)


def _holes(one: HoleType) -> str:
    size = one.hole.size or (one.hole.thread.designation if one.hole.thread else "")
    words = [f"{one.count:,}", HOLES.get(one.kind, one.kind.replace("_", " ")), size]
    return " ".join([*filter(None, words), *(FITTED.get(part, f"with {_part(part)}") for part in one.hole.parts)])


def _mounting(build: Build, types: list[HoleType], writing: Writing) -> Iterator[Fact]:
    table, unit = build.table, writing.measure.unit
    if table.surface not in SURFACES:
        return
    words = [SURFACES[table.surface]]
    if table.slot_width:
        words[0] += f" {writing.length(table.slot_width)} {unit}"
    if table.spacing:
        words[0] += f", {writing.length(table.spacing)} {unit} apart"
    words.append(LOCATED.get(table.locate, table.locate.replace("_", " ")))
    words += [_holes(one) + " holes" for one in types]
    yield "Mounting", "; ".join(words)


def _part(kind: str) -> str:
    name = ITEMS.get(kind, kind.replace("_", " "))
    return name if name[:2] == "T-" else name[:1].lower() + name[1:]


def _listed(words: Iterable[str]) -> str:
    *most, last = words
    return f"{', '.join(most)} and {last}" if most else last


def answer(pointer: str, value: str | int | bool | list[str]) -> Fact:
    """An assumed answer: its place in the request and its value, in words."""
    steps = [step.replace("_", " ") for step in pointer.split("/")[1:] if step != "plate"]
    if steps[:1] == ["plates"]:
        steps[:2] = [f"plate {int(steps[1]) + 1}"]
    name = ", ".join(steps) or pointer
    if isinstance(value, bool):
        said = "yes" if value else "no"
    elif isinstance(value, list):
        said = _listed(value) if value else "none"
    else:
        said = SURFACES.get(str(value), str(value).replace("_", " "))
    return name[:1].upper() + name[1:], said
