"""A small picture of a plate, for a quote sheet or a page: legible at the width of a phone and smaller.

Where holes would lie closer than an eye can part them, a texture fills the area that they take; the legend says how
many there are.
"""

from collections.abc import Iterator
from typing import Final
from xml.etree.ElementTree import Element, SubElement

from msgspec import Struct

from tallyplate.contract import Build, HoleGroup, Lattice
from tallyplate.documents.drawings.views import FAR_SIDE, FaceView, face_views
from tallyplate.documents.measures import MEASURES, UnitName
from tallyplate.documents.svg import DOWN, MARGIN, UP, WIDTH, box, dot, number, page, serialized, write
from tallyplate.left_out import parted

CLOSEST: Final = 9.0
"""Least distance in pixels of the page between two holes that are drawn one by one; a third less on a small page."""

COLOURS: Final = (DOWN, "#2e8b57", UP, "#9a5fb0", "#1f8a8a", "#8f7a1f")
"""One for each kind of hole in turn, of middling lightness, for light and dark pages."""

TILE: Final = 12.0
"""Side in pixels of the texture that stands for holes too close to be shown."""

TALLEST: Final = 420.0
DIAMETER: Final = "\u00d8"
TIMES: Final = " \u00d7 "
KEY: Final = 26.0
"""Height of a line of the legend."""
SLIGHT: Final = 1.6
"""Least radius in pixels of a hole."""


class Seen(Struct, frozen=True):
    """The face that is shown and where: the scale in pixels a mm, and the top of its outline."""

    face: FaceView
    scale: float
    left: float
    top: float

    def at(self, x: float, y: float) -> tuple[float, float]:
        """A place of the face on the page."""
        return self.left + x * self.scale, self.top + (self.face.width - y) * self.scale


def plate_picture(build: Build, unit: UnitName = "mm") -> str:
    """The face that has the most holes as SVG, with its size and the kinds of hole below."""
    face = max(face_views(build, first_angle=False), key=_holes)
    shown = [group for _, group in face.groups if group.face != FAR_SIDE]
    kinds = list(dict.fromkeys(group.kind for group in shown))
    scale = min((WIDTH - 2 * MARGIN) / face.length, TALLEST / face.width)
    seen = Seen(face, scale, (WIDTH - face.length * scale) / 2, float(MARGIN))
    foot = seen.top + face.width * scale
    svg = page(*_said(build, face, unit), foot + 24 + KEY * (len(kinds) + 1))
    _outline(svg, seen, build.body.corner if face.plan else 0.0)
    _milled(svg, seen, build)
    _zones(svg, seen, build)
    for group in shown:
        colour = COLOURS[kinds.index(group.kind) % len(COLOURS)]
        _group(svg, seen, group, colour, kinds.index(group.kind))
    write(svg, MARGIN, foot + 28, _size(build, unit), font_size="17", font_weight="600")
    for row, kind in enumerate(kinds, start=1):
        y = foot + 28 + KEY * row
        colour = COLOURS[kinds.index(kind) % len(COLOURS)]
        dot(svg, (MARGIN + 7, y - 6), 6, fill=colour)
        count = sum(group.count for group in build.holes if group.kind == kind)
        write(svg, MARGIN + 22, y, f"{count:,} {kind.replace('_', ' ')}", font_size="17")
    return serialized(svg)


def _holes(face: FaceView) -> int:
    return sum(group.count for _, group in face.groups)


def _said(build: Build, face: FaceView, unit: UnitName) -> tuple[str, str]:
    count = sum(group.count for group in build.holes)
    return f"Plate {_size(build, unit)}", f"{count:,} holes; shown is the {face.title}."


def _size(build: Build, unit: UnitName) -> str:
    body, measure = build.body, MEASURES[unit]
    sides = (body.length, body.thickness) if body.disc else (body.length, body.width, body.thickness)
    return f"{DIAMETER * body.disc}{TIMES.join(map(measure.size, sides))} {unit}"


def _outline(svg: Element, seen: Seen, corner: float) -> None:
    look = {"fill": "currentColor", "fill_opacity": "0.06", "stroke": "currentColor", "stroke_width": "1.5"}
    left, top = seen.at(0, seen.face.width)
    if seen.face.disc:
        middle = seen.face.length / 2
        dot(svg, seen.at(middle, middle), middle * seen.scale, **look)
    else:
        if corner:
            look["rx"] = number(corner * seen.scale)
        box(svg, (left, left + seen.face.length * seen.scale), top, seen.face.width * seen.scale, **look)


def _milled(svg: Element, seen: Seen, build: Build) -> None:
    """Pockets, slots and cut-outs: each core with a stroke as wide as twice its radius."""
    for one in build.milled if seen.face.plan else ():
        places = " ".join(f"{number(x)},{number(y)}" for x, y in (seen.at(*spot) for spot in one.outline.core))
        look = {"points": places, "fill": "currentColor", "stroke": "currentColor", "stroke-linejoin": "round"}
        look |= {"stroke-linecap": "round", "stroke-width": number(2 * one.outline.radius * seen.scale)}
        SubElement(svg, "polygon", look | {"opacity": "0.35" if one.through else "0.18"})


def _zones(svg: Element, seen: Seen, build: Build) -> None:
    """The outline of every zone, in dashes."""
    for zone in build.zones if seen.face.plan else ():
        left, top = seen.at(zone.x, zone.y + zone.width)
        look = {"fill": "none", "stroke": "currentColor", "stroke_width": "1", "stroke_dasharray": "6 4"}
        box(svg, (left, left + zone.length * seen.scale), top, zone.width * seen.scale, **look)


def _group(svg: Element, seen: Seen, group: HoleGroup, colour: str, place: int) -> None:
    layout = group.layout
    if isinstance(layout, Lattice) and min(layout.pitch_x, layout.pitch_y) * seen.scale < CLOSEST:
        _area(svg, seen, layout, _texture(svg, colour, place))
        return
    radius = max(SLIGHT, group.hole.widest * seen.scale / 2)
    holes = SubElement(svg, "g", {"fill": colour})
    for x, y in layout.positions():
        dot(holes, seen.at(x, y), radius)


def _texture(svg: Element, colour: str, place: int) -> str:
    """Dots in the colour of a kind, which leave room for those of the next; one name is always one texture."""
    name, side = f"dense-{place % len(COLOURS)}", number(TILE)
    tile = SubElement(svg, "pattern", {"id": name, "width": side, "height": side, "patternUnits": "userSpaceOnUse"})
    at = TILE * (0.75 if place % 2 else 0.25)
    dot(tile, (at, at), TILE * 0.2, fill=colour)
    return f"url(#{name})"


def _area(svg: Element, seen: Seen, lattice: Lattice, fill: str) -> None:
    """The rows that a lattice fills, as bands without a gap; on a rectangle all of them are one."""
    for first, last, lower, upper in _bands(lattice):
        x0, y0 = lattice.position((first, upper))
        x1, y1 = lattice.position((last, lower))
        half_x, half_y = lattice.pitch_x / 2, lattice.pitch_y / 2
        left, top = seen.at(x0 - half_x, y0 + half_y)
        right, foot = seen.at(x1 + half_x, y1 - half_y)
        box(svg, (left, right), top, foot - top, fill=fill)


def _bands(lattice: Lattice) -> Iterator[tuple[int, int, int, int]]:
    """First and last column, first and last row of rows alike that follow each other, parted by what is left out."""
    for first, last, lower, upper in _whole_bands(lattice):
        for rows in parted(range(lower, upper + 1), lattice.bare_rows):
            for columns in parted(range(first, last + 1), lattice.bare_columns):
                yield columns[0], columns[-1], rows[0], rows[-1]


def _whole_bands(lattice: Lattice) -> Iterator[tuple[int, int, int, int]]:
    """Rows alike that follow each other, whatever is left out."""
    spans = lattice.spans or ((0, lattice.columns - 1),)
    rows = len(lattice.spans) or 1
    start = 0
    for row in range(1, rows + 1):
        if row == rows or spans[row] != spans[start]:
            if spans[start][0] <= spans[start][1]:
                yield (*spans[start], start, row - 1 if lattice.spans else lattice.rows - 1)
            start = row
