"""A sheet as DXF, at full size: the first view's lower left corner is the origin, a hole a block at its true place.

What is written of a drawing stands about the views, enlarged as the scale asks for. The library writes the document;
the holes go into its section of entities a thousand at a time, so that their number does not take memory.
"""

from __future__ import annotations

from collections.abc import Iterator
from io import StringIO
from itertools import islice
from math import cos, radians, sin
from typing import TYPE_CHECKING, Final

from tallyplate.documents.drawings.shapes import BEFORE, Arc, Area, Circle, Line, Shape, Spot, Text, held
from tallyplate.documents.drawings.sheet import Sheet
from tallyplate.documents.texts import printable

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts.base import BaseLayout

HOLES: Final = 1000
VERSION: Final = "R2010"
"""The first widespread version that knows UTF-8 and line weights is R2007; this one is as widespread."""

ENTITIES: Final = "  2\nENTITIES\n"
INSERT: Final = (
    "  0\nINSERT\n  5\n{handle:X}\n330\n{owner}\n100\nAcDbEntity\n  8\n{layer}\n100\nAcDbBlockReference\n"
    "  2\n{block}\n 10\n{x!r}\n 20\n{y!r}\n 30\n0.0\n"
)
"""One hole as the reference of DXF describes an INSERT: group codes with their values (from memory)."""

WRITER: Final = "ezdxf"
LONG_AGO: Final = 2451545.0
"""A fixed Julian date, 2000-01-01, so that equal drawings are equal files."""
NO_GUID: Final = "{00000000-0000-0000-0000-000000000000}"
SIGNS: Final = {"\u00d8": "%%c", "\u00b0": "%%d", "\u00b1": "%%p"}
"""Codes of signs that not every typeface of a CAD program has."""


def dxf_pieces(sheet: Sheet) -> Iterator[bytes]:
    """The drawing as pieces of a DXF file; raises `ImportError` at once where ezdxf is not installed."""
    from ezdxf.filemanagement import new  # noqa: PLC0415

    document = new(VERSION, units=1 if sheet.measure.unit == "in" else 4)
    return _pieces(sheet, document)


def _pieces(sheet: Sheet, document: Drawing) -> Iterator[bytes]:
    paper = _Paper(sheet)
    _lay(document, sheet, paper)
    space = document.modelspace()
    for shape in sheet.shapes:
        _draw(space, shape, paper)
    for use in {use.symbol.block: use for use in sheet.uses}.values():
        block = document.blocks.new(use.symbol.block)
        own = _Paper(sheet, view=use.view, centred=True)
        for shape in use.symbol.shapes:
            _draw(block, shape, own, layer="0" if shape.layer == use.symbol.layer else shape.layer)
    handle = int(str(document.entitydb.handles), 16)
    count = sum(use.layout.count for use in sheet.uses)
    document.entitydb.handles.reset(f"{handle + count:X}")
    head, entities, tail = _written(document).partition(ENTITIES)
    yield (head + entities).encode()
    for use in sheet.uses:
        x0, y0 = paper.place(sheet.views[use.view].corner)
        unit, spots = sheet.measure.millimetres, use.layout.positions()
        named = {"owner": space.layout_key, "layer": use.symbol.layer, "block": use.symbol.block}
        while chunk := list(islice(spots, HOLES)):
            holes = (
                INSERT.format(handle=number, x=x0 + x / unit, y=y0 + y / unit, **named)
                for number, (x, y) in enumerate(chunk, start=handle)
            )
            yield "".join(holes).encode()
            handle += len(chunk)
    yield tail.encode()


class _Paper:
    """From mm of paper to the drawing's unit at full size."""

    def __init__(self, sheet: Sheet, view: int = 0, *, centred: bool = False) -> None:
        first = sheet.views[view]
        self.corner = (0.0, 0.0) if centred else first.corner
        self.divisor = first.scale * sheet.measure.millimetres

    def place(self, spot: Spot) -> Spot:
        """A place."""
        return (spot[0] - self.corner[0]) / self.divisor, (spot[1] - self.corner[1]) / self.divisor

    def size(self, length: float) -> float:
        """A length."""
        return length / self.divisor


def _lay(document: Drawing, sheet: Sheet, paper: _Paper) -> None:
    """The layers with their line weights and dashes."""
    for layer in sheet.layers:
        name = "CONTINUOUS"
        if layer.dashes:
            name = "DASHES_" + "_".join(f"{dash:g}".replace(".", "P") for dash in layer.dashes)
            if name not in document.linetypes:
                strokes = [paper.size(dash) * (-1 if odd % 2 else 1) for odd, dash in enumerate(layer.dashes)]
                document.linetypes.add(name, [sum(map(abs, strokes)), *strokes], description=name)
        document.layers.add(layer.name, color=layer.index, linetype=name, lineweight=round(layer.width * 100))


def _draw(space: BaseLayout, shape: Shape, paper: _Paper, layer: str = "") -> None:
    on = {"layer": layer or shape.layer}
    match shape:
        case Line(_, start, end):
            space.add_line(paper.place(start), paper.place(end), dxfattribs=on)
        case Circle(_, centre, radius):
            space.add_circle(paper.place(centre), paper.size(radius), dxfattribs=on)
        case Arc(_, centre, radius, start_angle, end_angle):
            space.add_arc(paper.place(centre), paper.size(radius), start_angle, end_angle, dxfattribs=on)
        case Area(_, corners):
            space.add_solid([paper.place(corner) for corner in corners], dxfattribs=on)
        case Text():
            _write(space, shape, paper, on)


def _write(space: BaseLayout, text: Text, paper: _Paper, on: dict[str, str]) -> None:
    from ezdxf.enums import TextEntityAlignment  # noqa: PLC0415

    aligned, before = {"start": "LEFT", "middle": "CENTER", "end": "RIGHT"}[text.anchor], BEFORE[text.anchor]
    at, away = paper.place(text.at), None
    words = coded(text.words)
    written = space.add_text(words, height=paper.size(text.height), rotation=text.angle, dxfattribs=on)
    if text.room and (wide := held(text)):
        # Such a text is held between two places, whatever it is anchored by.
        along = paper.size(wide) * cos(radians(text.angle)), paper.size(wide) * sin(radians(text.angle))
        aligned, at = "FIT", (at[0] - before * along[0], at[1] - before * along[1])
        away = at[0] + along[0], at[1] + along[1]
    written.set_placement(at, away, align=TextEntityAlignment[aligned])


def coded(words: str) -> str:
    """A text without anything that DXF takes for a code, and with the codes of the signs that need one."""
    plain = printable(words).replace("%%", "% %").replace("^", "\u02c6").replace("\\", "\u2216")
    return "".join(SIGNS.get(sign, sign) for sign in plain)


def _written(document: Drawing) -> str:
    """The document without its holes, and without the time, random names and random order that it would be given."""
    from ezdxf.lldxf.tagwriter import TagWriter  # noqa: PLC0415

    document.update_all()
    # They come out of a set, in an order that every process has for itself.
    document.classes.classes = dict(sorted(document.classes.classes.items()))
    for name in ("$TDCREATE", "$TDUPDATE", "$TDUCREATE", "$TDUUPDATE"):
        document.header[name] = LONG_AGO
    for name in ("$FINGERPRINTGUID", "$VERSIONGUID"):
        document.header[name] = NO_GUID
    notes = document.ezdxf_metadata()
    for name in ("CREATED_BY_EZDXF", "WRITTEN_BY_EZDXF"):
        notes[name] = WRITER
    text = StringIO()
    document.export_sections(TagWriter(text, write_handles=True, dxfversion=document.dxfversion))
    return text.getvalue()
