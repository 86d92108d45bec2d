"""A sheet as SVG, in pieces: what is drawn once, then the holes a thousand at a time.

A hole is a `use` of its type's symbol, at its place on the face in mm of the plate, the vertical axis downward as SVG
has it.
"""

from collections.abc import Iterable, Iterator
from itertools import islice
from typing import Final
from xml.sax.saxutils import escape

from msgspec.structs import replace

from tallyplate.documents.drawings.layers import Layer
from tallyplate.documents.drawings.shapes import CAPITAL, Arc, Area, Circle, Line, Shape, Text, held
from tallyplate.documents.drawings.sheet import Sheet, Use
from tallyplate.documents.drawings.symbols import Symbol
from tallyplate.documents.texts import printable

HOLES: Final = 1000
FINE: Final = 0.25
"""Greatest width of a symbol's lines as a share of its smallest radius."""
FONT: Final = "Liberation Sans, Arial, Helvetica, sans-serif"


def svg_pieces(sheet: Sheet) -> Iterator[bytes]:
    """The drawing as pieces of UTF-8 text."""
    yield "".join(_head(sheet)).encode()
    for use in sheet.uses:
        view, name = sheet.views[use.view], use.symbol.block
        x, y = view.corner[0], sheet.height - view.corner[1]
        place = f'transform="translate({_number(x)} {_number(y)}) scale({view.scale:g})"'
        yield f'<g data-layer="{use.symbol.layer}" {place}>\n'.encode()
        spots = use.layout.positions()
        while chunk := list(islice(spots, HOLES)):
            uses = (f'<use href="#{name}" x="{_place(x)}" y="{_place(-y)}"/>\n' for x, y in chunk)
            yield "".join(uses).encode()
        yield b"</g>\n"
    yield b"</svg>\n"


def _head(sheet: Sheet) -> Iterator[str]:
    size = f'width="{_number(sheet.width)}mm" height="{_number(sheet.height)}mm"'
    view = f"0 0 {_number(sheet.width)} {_number(sheet.height)}"
    yield f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{view}" {size} role="img" font-family="{FONT}">\n'
    yield f"<title>{escape(printable(sheet.title))}</title>\n"
    yield f"<desc>Scale {sheet.scale}, dimensions in {sheet.measure.unit}</desc>\n"
    yield '<rect width="100%" height="100%" fill="#fff"/>\n<defs>\n'
    layers = {layer.name: layer for layer in sheet.layers}
    for use in {use.symbol.block: use for use in sheet.uses}.values():
        yield from _symbol(use, sheet, layers)
    yield "</defs>\n"
    for layer in sheet.layers:
        yield from _group(layer, (shape for shape in sheet.shapes if shape.layer == layer.name), sheet.height)


def _symbol(use: Use, sheet: Sheet, layers: dict[str, Layer]) -> Iterator[str]:
    """A symbol in mm of the plate, so that it can stand among the holes' places."""
    one: Symbol = use.symbol
    yield f'<g id="{one.block}" transform="scale({1 / sheet.views[use.view].scale:g})">\n'
    # Lines thinner than the smallest circle, so that many small holes do not run together.
    finest = FINE * min(shape.radius for shape in one.shapes if isinstance(shape, Circle))
    for name in dict.fromkeys(shape.layer for shape in one.shapes):
        layer = replace(layers[name], width=round(min(layers[name].width, finest), 4))
        yield from _group(layer, (shape for shape in one.shapes if shape.layer == name), 0.0)
    yield "</g>\n"


def _group(layer: Layer, shapes: Iterable[Shape], height: float) -> Iterator[str]:
    drawn = [_shape(shape, layer, height) for shape in shapes]
    if drawn:
        dashes = f' stroke-dasharray="{" ".join(map(_number, layer.dashes))}"' if layer.dashes else ""
        yield (
            f'<g data-layer="{layer.name}" fill="none" stroke="{layer.colour}" stroke-width="{layer.width}"{dashes}'
            f' stroke-linecap="round">\n{"".join(drawn)}</g>\n'
        )


def _shape(shape: Shape, layer: Layer, height: float) -> str:
    match shape:
        case Line(_, (x1, y1), (x2, y2)):
            ends = (_number(x1), _number(height - y1), _number(x2), _number(height - y2))
            return '<line x1="{}" y1="{}" x2="{}" y2="{}"/>\n'.format(*ends)
        case Circle(_, (x, y), radius):
            return f'<circle cx="{_number(x)}" cy="{_number(height - y)}" r="{_number(radius)}"/>\n'
        case Arc():
            return _arc(shape, height)
        case Area(_, corners):
            points = " ".join(f"{_number(x)},{_number(height - y)}" for x, y in corners)
            return f'<polygon points="{points}" fill="{layer.colour}" stroke="none"/>\n'
        case Text():
            return _text(shape, layer, height)


def _arc(arc: Arc, height: float) -> str:
    start, end = arc.spot(arc.start), arc.spot(arc.end)
    large = int((arc.end - arc.start) % 360 > 180)  # noqa: PLR2004 - more than half a turn
    r = _number(arc.radius)
    ends = (_number(start[0]), _number(height - start[1]), _number(end[0]), _number(height - end[1]))
    return f'<path d="M{ends[0]} {ends[1]}A{r} {r} 0 {large} 0 {ends[2]} {ends[3]}"/>\n'


def _text(text: Text, layer: Layer, height: float) -> str:
    words = printable(text.words)
    x, y = _number(text.at[0]), _number(height - text.at[1])
    turned = f' transform="rotate({-text.angle:g} {x} {y})"' if text.angle else ""
    heavy = ' font-weight="700"' if text.bold else ""
    anchor = f' text-anchor="{text.anchor}"' if text.anchor != "start" else ""
    if text.room and (wide := held(text)):
        # A face wider than expected is pressed into the room.
        turned += f' textLength="{_number(wide)}" lengthAdjust="spacingAndGlyphs"'
    size = f'font-size="{_number(text.height / CAPITAL)}"'
    look = f'{size} fill="{layer.colour}" stroke="none"{anchor}{heavy}{turned}'
    return f'<text x="{x}" y="{y}" {look}>{escape(words)}</text>\n'


def _number(value: float) -> str:
    """A length on paper, to a micrometre."""
    return f"{value:z.3f}".rstrip("0").rstrip(".")


def _place(value: float) -> str:
    """A place on the plate, to a tenth of a micrometre."""
    return f"{value:z.4f}".rstrip("0").rstrip(".")
