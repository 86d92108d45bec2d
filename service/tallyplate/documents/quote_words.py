"""A plate in words, for whoever buys it: what is asked for, what is made, how it is held, and what comes with it."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Final

from tallyplate.contract import Build, Hardware, Hole, ShopData
from tallyplate.documents.quote_asked import LOCATED, SURFACES, Fact, answer, stated
from tallyplate.documents.quote_conventions import Writing
from tallyplate.documents.schedules.holes import HoleType, hole_types
from tallyplate.documents.schedules.parts import ITEMS
from tallyplate.quote.content import AssumedAnswer
from tallyplate.units import listed

__all__ = ["DIAMETER", "Fact", "answer", "assumed", "facts", "plural"]

DIAMETER: Final = "\u00d8"

FITTED: Final = {"bushing": "hardened bushings", "thread_insert": "wire thread inserts"}
HOLES: Final = {"holding": "mounting hole", "bore": "bore", "centre": "centre bore"}
"""Kinds of hole by the words of a buyer, where the shop's own say less."""

TO_LIFT: Final = {"lifting", "handle"}
"""Holes for whoever carries the plate, which stand with those that work is clamped by."""

PLURALS: Final = {"handle with its screws": "handles with their screws"}

TOLD: Final = ("material", "finish", "position_tolerance", "flatness", "marking")
"""Fields of a request that are told as they are made."""


def facts(build: Build, shop: ShopData, writing: Writing, plate: Mapping[str, Any] | None = None) -> Iterator[Fact]:
    """What is said of a plate beside its kind and material, as pairs of a name and words; `plate` is its request."""
    unit, asked = writing.measure.unit, plate or {}
    held = build.table.surface in SURFACES
    upright = sum(face.reach > 0 for face in build.body.faces)
    if upright:
        yield "Working faces", str(upright)
    there = {"faces": upright, "mounting": held, "bushings": build.replaced}
    yield from stated(asked, (*TOLD, *(name for name, made in there.items() if made)), writing.spoken)
    types = hole_types(build)
    mounting = [one for one in types if held and one.mounting and one.kind not in TO_LIFT]
    if made := [_holes(one, shop, writing) for one in types if one not in mounting]:
        yield "Holes", "; ".join(made)
    if build.replaced:
        yield "Bushings replaced", _parts(build.replaced, writing)
    yield "Hole position", f"within {DIAMETER} {writing.tolerance(build.position_tolerance)} {unit} over the plate"
    yield "Flatness", f"within {writing.tolerance(build.flatness)} {unit}"
    yield "Finish", shop.finishes[build.finish].title
    if held:
        yield "Mounting", _mounting(build, mounting, shop, writing)
    if coordinates := [mark.side for mark in build.marks if not mark.text]:
        yield "Engraved", f"coordinates along {_sides(coordinates, upright or len(build.zones))}"
    elif "marking" in asked:
        yield "Engraved", "no coordinates"
    for mark in build.marks:
        if mark.text:
            yield "Engraved text", f"{mark.text}, along {mark.side}"
    if sent := (*build.hardware, *build.accessories):
        yield "Supplied with each", _parts(sent, writing)


def assumed(one: AssumedAnswer, shop: ShopData, writing: Writing) -> tuple[str, str, str]:
    """An assumed answer as the sheet tells it, and why, unless its words say so."""
    name, words = answer(one.pointer, one.value, writing.spoken)
    finish = shop.finishes.get(str(one.value)) if one.pointer.endswith("/finish") else None
    return name, finish.title if finish else words, "" if words.endswith(one.why) else writing.dated(one.why)


def plural(count: int, noun: str) -> str:
    """What so many are called."""
    return noun if count == 1 else PLURALS.get(noun, f"{noun}s")


def _holes(one: HoleType, shop: ShopData, writing: Writing) -> str:
    hole, unit = one.hole, writing.measure.unit
    noun = HOLES.get(one.kind, f"{one.kind.replace('_', ' ')} hole")
    size = hole.size or (hole.thread.designation if hole.thread else "")
    close = _close(hole, shop)
    across = close or (0.0 if size else hole.bores[0].diameter)
    wide = f"{DIAMETER} {writing.length(across)} {unit}" if across else ""
    counted = [writing.number(one.count), plural(one.count, noun), size]
    if "bushing" not in hole.parts:
        counted.append(f", {wide}" if size and wide else wide)
    fitted = [FITTED.get(part, plural(2, _part(part))) for part in hole.parts]
    if wide and "bushing" in hole.parts:
        fitted[hole.parts.index("bushing")] += f" {wide}"
    return " ".join(filter(None, counted)).replace(" ,", ",") + (f" with {listed(fitted)}" if fitted else "")


def _close(hole: Hole, shop: ShopData) -> float:
    """The diameter in mm that fits what is located: that of the bushing, or of the close-tolerance bore itself."""
    if "bushing" in hole.parts and hole.size in shop.screws:
        return float(shop.screws[hole.size].locating)
    return next((bore.diameter for bore in hole.bores if bore.tolerance), 0.0)


def _mounting(build: Build, types: list[HoleType], shop: ShopData, writing: Writing) -> str:
    table, unit = build.table, writing.measure.unit
    words = [SURFACES[table.surface]]
    if table.slot_width:
        words[0] += f" {writing.length(table.slot_width)} {unit}"
    if table.spacing:
        words[0] += f", {writing.length(table.spacing)} {unit} apart"
    words.append(LOCATED.get(table.locate, f"located by {table.locate.replace('_', ' ')}"))
    if table.screw:
        words.append(f"held by {table.screw} screws")
    return "; ".join([*words, *(_holes(one, shop, writing) for one in types)])


def _sides(sides: list[str], parts: int) -> str:
    """The engraved sides; those that every face or zone of the plate has alike are told once."""
    edges: dict[str, list[str]] = {}
    for side in sides:
        part, _, edge = side.rpartition(" ")
        edges.setdefault(part, []).append(edge)
    alike = next(iter(edges.values()))
    if len(edges) == parts > 1 and all(one == alike for one in edges.values()):
        return f"{listed(alike)} of each {next(iter(edges)).partition(' ')[0]}"
    return listed(sides)


def _parts(parts: Iterable[Hardware], writing: Writing) -> str:
    return listed(
        f"{writing.number(part.count)} {plural(part.count, _part(part.kind))} {part.size}".strip() for part in parts
    )


def _part(kind: str) -> str:
    name = ITEMS.get(kind, kind.replace("_", " "))
    return name if name[:2] == "T-" else name[:1].lower() + name[1:]
