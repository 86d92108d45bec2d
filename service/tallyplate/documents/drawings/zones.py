"""Zones of a plate as they are drawn: where each lies, what lattice fills it, and the names along its edges."""

from collections.abc import Iterator

from msgspec.structs import replace

from tallyplate.contract import Build, HoleGroup, Lattice, Points, Zone
from tallyplate.documents.drawings.marking import names_along
from tallyplate.documents.drawings.shapes import SMALL, Shape, Text, breadth, rectangle
from tallyplate.documents.drawings.views import FaceView, Placed
from tallyplate.documents.measures import Measure
from tallyplate.documents.schedules.holes import lattices

TIMES = "\u00d7"

WITHIN = 1.0
"""Millimetres of paper between the upper edge of a zone and its words."""


def zone_shapes(build: Build, view: Placed, measure: Measure) -> Iterator[Shape]:
    """Every zone in chain lines, with its number and lattices in words, and its engraved names."""
    for number, zone in enumerate(build.zones, start=1):
        place = _placed(view, zone, number)
        left, lower, right, upper = place.box
        yield from rectangle("CENTER_LINES", left, lower, right, upper)
        found = lattices(build, "top", number)
        words = _zone_words(build, number, measure)
        if breadth(words, SMALL) > right - left:
            words = f"Zone {number}"
        at = ((left + right) / 2, upper - SMALL - WITHIN)
        yield Text("NOTES", at, words, SMALL, "middle")
        if found:
            within = replace(found[0], x=found[0].x - zone.x, y=found[0].y - zone.y)
            yield from names_along(build, place, within, f"zone {number} ")


def untold(build: Build, view: Placed, measure: Measure) -> Iterator[str]:
    """What is told of the zones that have no room for it."""
    for number, zone in enumerate(build.zones, start=1):
        words = _zone_words(build, number, measure)
        if breadth(words, SMALL) > zone.length * view.scale:
            yield f"{words}."


def _zone_words(build: Build, number: int, measure: Measure) -> str:
    found = lattices(build, "top", number)
    return f"Zone {number}: {'; '.join(lattice_words(one, measure) for one in found)}"


def lattice_words(lattice: Lattice, measure: Measure) -> str:
    """How many columns and rows, how far apart, and the first hole's place."""
    pitches = f"{measure.size(lattice.pitch_x)} {TIMES} {measure.size(lattice.pitch_y)}"
    first = f"{measure.place(lattice.x)}, {measure.place(lattice.y)}"
    return f"{lattice.columns} {TIMES} {lattice.rows} at {pitches} from {first}"


def _placed(view: Placed, zone: Zone, number: int) -> Placed:
    """A zone as a face of its own, with its holes and those that are at single places."""
    groups = tuple(
        (kind, _moved(group, zone))
        for kind, group in view.face.groups
        if group.zone == number or isinstance(group.layout, Points)
    )
    face = FaceView(f"zone {number}", False, "top", zone.length, zone.width, disc=False, groups=groups)
    return Placed(face, view.at(zone.x, zone.y), view.scale)


def _moved(group: HoleGroup, zone: Zone) -> HoleGroup:
    layout = group.layout
    if isinstance(layout, Points):
        return replace(group, layout=Points(tuple((x - zone.x, y - zone.y) for x, y in layout.at)))
    return replace(group, layout=replace(layout, x=layout.x - zone.x, y=layout.y - zone.y))
