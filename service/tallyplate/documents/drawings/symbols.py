"""How each type of hole looks on a face, drawn once and used at every hole of the type."""

from collections.abc import Iterator
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from tallyplate.contract import Hole
from tallyplate.documents.drawings.layers import FAR_SIDE
from tallyplate.documents.drawings.shapes import SMALL, Arc, Circle, Line, Shape, Text

THREAD_ARC: Final = (105.0, 15.0)
"""Three quarters of a circle tell a thread; ISO 6410-1 leaves a quarter open (from memory)."""

CROSS: Final = 1.5
"""Millimetres by which centre lines reach beyond a hole."""


class Symbol(Struct, frozen=True):
    """A type of hole as it is drawn on a face, in mm of paper about its centre; `block` is its name in files."""

    block: str
    layer: str
    shapes: tuple[Shape, ...]


def symbol(number: int, layer: str, hole: Hole, scale: float, *, crossed: bool, tagged: bool) -> Symbol:
    """The circles of every bore, the arc of a thread, and where there is room centre lines and the type's number."""
    block = f"HOLE_TYPE_{number}{FAR_SIDE if layer.endswith(FAR_SIDE) else ''}"
    return Symbol(block, layer, tuple(_shapes(number, layer, hole, scale, crossed, tagged)))


def _shapes(number: int, layer: str, hole: Hole, scale: float, crossed: bool, tagged: bool) -> Iterator[Shape]:
    for diameter in sorted({bore.diameter for bore in hole.bores}):
        yield Circle(layer, (0.0, 0.0), diameter * scale / 2)
    if hole.thread:
        yield Arc(layer, (0.0, 0.0), hole.thread.major * scale / 2, *THREAD_ARC)
    reach = hole.widest * scale / 2
    if crossed:
        yield Line("CENTER_LINES", (-reach - CROSS, 0.0), (reach + CROSS, 0.0))
        yield Line("CENTER_LINES", (0.0, -reach - CROSS), (0.0, reach + CROSS))
    if tagged:
        yield Text("HOLE_TABLE", (0.71 * reach + 0.5, 0.71 * reach + 0.5), str(number), SMALL)


def projection_symbol(layer: str, centre: tuple[float, float], high: float, *, first_angle: bool) -> Iterator[Shape]:
    """A cut cone from the side and from its narrow end (ISO 128, from memory).

    The end view shows two full circles, so it looks at the narrow end: in third angle it stands beside that end, in
    first angle beside the wide one.
    """
    x, y = centre
    wide, narrow, long = high / 2, high / 4, high
    circles, side = (x + high, x - high) if first_angle else (x - high, x + high)
    yield Circle(layer, (circles, y), wide)
    yield Circle(layer, (circles, y), narrow)
    corners = (
        (side - long / 2, y - narrow), (side + long / 2, y - wide), (side + long / 2, y + wide),
        (side - long / 2, y + narrow),
    )  # fmt: skip
    for start, end in zip(corners, (*corners[1:], corners[0]), strict=True):
        yield Line(layer, start, end)
    yield Line("CENTER_LINES", (x - 1.9 * high, y), (x + 1.9 * high, y))
    yield Line("CENTER_LINES", (circles, y - 0.7 * high), (circles, y + 0.7 * high))


def moved(one: Symbol, centre: tuple[float, float], least: float, greatest: float) -> Iterator[Shape]:
    """The circles and arcs of a symbol about another place, in its own size or in the nearest that a table shows."""
    round_ones = [shape for shape in one.shapes if isinstance(shape, (Circle, Arc))]
    radius = max(shape.radius for shape in round_ones)
    factor = min(max(radius, least), greatest) / radius
    for shape in round_ones:
        yield replace(shape, centre=centre, radius=shape.radius * factor)
