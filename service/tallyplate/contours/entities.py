"""The unit that a DXF states, and the entities on one of its layers."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import Final

from msgspec import Struct

from tallyplate.contours.pieces import LAYER, Entity
from tallyplate.contours.tags import POINTER, Tag, whole
from tallyplate.contract import refuse

INSUNITS: Final = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m"}
"""Units by the number that $INSUNITS states (reference of DXF, from memory; held to a library by the tests)."""

MOST_ENTITIES: Final = 2000
"""Entities on the layer."""
MOST_LAYERS: Final = 20
"""Layers that are named where the one asked for has nothing."""

BEGINS, NAME, VARIABLE, WHOLE = 0, 2, 9, 70
"""Codes of what begins a record, names a section, names a variable, and states a whole number."""


class Drawn(Struct, frozen=True):
    """What a file says: its unit, empty where it states none, and the entities on the layer."""

    unit: str
    entities: tuple[Entity, ...]


def drawn(found: Iterable[Tag], layer: str) -> Drawn:
    """Read a file; refuses one with nothing on the layer, and says which layers have something."""
    section, unit = "", ""
    entities: list[tuple[str, tuple[Tag, ...], list[tuple[Tag, ...]]]] = []
    for kind, held in _records(found):
        if kind == "SECTION":
            section = next((tag.value for tag in held if tag.code == NAME), "")
            unit = _unit(held) if section == "HEADER" else unit
        elif kind == "ENDSEC":
            section = ""
        elif section == "ENTITIES" and kind == "VERTEX" and entities:
            entities[-1][2].append(held)
        elif section == "ENTITIES" and kind != "SEQEND":
            entities.append((kind, held, []))
    every = [Entity(kind, held, tuple(vertices)) for kind, held, vertices in entities]
    kept = tuple(one for one in every if one.text(LAYER) == layer)
    if not kept:
        layers = list(dict.fromkeys(one.text(LAYER)[:60] for one in every))
        named = ", ".join(layers[:MOST_LAYERS]) or "a file that draws something"
        raise refuse("/layer", f"{layer[:60]!r} has nothing; accepted: {named}")
    if len(kept) > MOST_ENTITIES:
        raise refuse(POINTER, f"has {len(kept)} entities on the layer; accepted: at most {MOST_ENTITIES}")
    return Drawn(unit, kept)


def _records(found: Iterable[Tag]) -> Iterator[tuple[str, tuple[Tag, ...]]]:
    """What begins with each code 0: its value, and the tags that follow."""
    kind, held = "", list[Tag]()
    for tag in found:
        if tag.code == BEGINS:
            yield kind, tuple(held)
            kind, held = tag.value, []
        else:
            held.append(tag)
    yield kind, tuple(held)


def _unit(header: Sequence[Tag]) -> str:
    for name, value in pairwise(header):
        if name == (VARIABLE, "$INSUNITS") and value.code == WHOLE:
            return INSUNITS.get(whole(value, "$INSUNITS"), "")
    return ""
