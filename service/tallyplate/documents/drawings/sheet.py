"""A drawing as one value: shapes on layers, and the holes as symbols with the places where they are used."""

from collections.abc import Iterator, Sequence
from datetime import date
from math import inf, sqrt

from msgspec import Struct
from msgspec.structs import replace

from tallyplate.contract import Build, HoleGroup, Lattice, Layout, ShopData
from tallyplate.contract.refusals import refuse
from tallyplate.documents.drawings import marking, plan, zones
from tallyplate.documents.drawings.dimensions import UPRIGHT, Look, dimension, stands
from tallyplate.documents.drawings.hole_table import hole_table, table_height
from tallyplate.documents.drawings.layers import FIXED, Layer, hole_layer, key_layer
from tallyplate.documents.drawings.layout import GUTTER, Box, grid, placed, regions
from tallyplate.documents.drawings.paper import PAPERS, DrawingOptions, ratio
from tallyplate.documents.drawings.plan import NEAR, face_shapes, padding
from tallyplate.documents.drawings.sections import section
from tallyplate.documents.drawings.shapes import NORMAL, Shape, Spot, Text, breadth, rectangle
from tallyplate.documents.drawings.symbols import CROSS, Symbol, symbol
from tallyplate.documents.drawings.title_block import title_block
from tallyplate.documents.drawings.views import FAR_SIDE, Placed, face_views
from tallyplate.documents.drawings.words import TOLD, notes, words
from tallyplate.documents.measures import MEASURES, Measure
from tallyplate.documents.schedules.holes import HoleType, hole_types, lattices

MOST_HOLES = 250_000
"""Holes of one plate that are drawn or listed; some thirty megabytes of text."""

LEFT_OUT = 4.0
"""Height in mm of paper of the line that tells which sections have no room."""

TAG = 3.2
"""Millimetres of paper between holes that leave room for the number of their type."""


class Use(Struct, frozen=True):
    """Holes that are drawn with one symbol, on one view."""

    view: int
    symbol: Symbol
    layout: Layout


class Sheet(Struct, frozen=True):
    """A whole drawing, in mm of paper; the holes alone are in mm of the plate."""

    title: str
    width: float
    height: float
    measure: Measure
    scale: str
    views: tuple[Placed, ...]
    shapes: tuple[Shape, ...]
    uses: tuple[Use, ...]
    layers: tuple[Layer, ...]


def limited(build: Build, most: int = MOST_HOLES) -> Build:
    """A build that is not too large to be drawn or listed hole by hole; refuses another."""
    count = sum(group.count for group in build.holes)
    if count > most:
        raise refuse("/plate/pattern", f"{count} holes; accepted: a plate of at most {most} holes")
    return build


def sheet(
    build: Build, shop: ShopData, quantity: int, as_of: date, options: DrawingOptions, faults: tuple[str, ...] = ()
) -> Sheet:
    """The drawing of a build; refuses a scale or a paper that has no room for it.

    `faults` are the codes of findings for which the plate cannot be made: the drawing then says so.
    """
    measure, places = MEASURES[options.unit], regions(options)
    faces = face_views(build, first_angle=options.projection == "first_angle")
    scale, views, edge = placed(build, faces, options)
    left, lower, right, upper = places.column
    table = upper - table_height(build, right - left, measure)
    room = table - GUTTER - lower
    block = words(build, shop, quantity, as_of, options, scale, faults)
    untold = _untold(build, views, measure)
    tried = (replace(block, notes=(*notes(build, shop, measure, told), *untold)) for told in range(TOLD, -1, -1))
    block = next((one for one in tried if one.height(right - left) <= room), block)
    if not block.notes:
        types = len(hole_types(build))
        message = f"{options.paper!r} has no room for {types} types of hole and the notes; accepted: a larger paper"
        raise refuse("/drawing/paper", message)
    foot = lower + block.height(right - left)
    uses, layers = _uses(build, views)
    keys = dict(_by_type(build, views[0].scale))
    shapes: list[Shape] = [*rectangle("FRAME", *places.frame)]
    for view in views:
        shapes += face_shapes(build, view, measure)
        if len(views) > 1:
            below = view.box[1] - padding(build, view.face)[1] - 2
            middle = (view.box[0] + view.box[2]) / 2
            shapes.append(Text("NOTES", (middle, below), view.face.title, NORMAL, "middle", bold=True))
    if not build.body.faces:
        shapes += _edge(build, edge, ratio(scale), measure)
    shapes += hole_table(build, {number: one for number, (one, _) in keys.items()}, (left, right, upper), measure)
    shapes += _sections(build, (left, foot, right, table - GUTTER), measure)
    shapes += title_block(block, left, lower, right)
    used = {shape.layer for shape in shapes} | {shape.layer for use in uses for shape in use.symbol.shapes}
    width, height = PAPERS[options.paper]
    return Sheet(
        block.title, width, height, measure, scale, tuple(views), tuple(shapes), tuple(uses),
        tuple(layer for layer in (*FIXED.values(), *layers, *{layer.name: layer for _, layer in keys.values()}.values())
        if layer.name in used),
    )  # fmt: skip


def _untold(build: Build, views: list[Placed], measure: Measure) -> tuple[str, ...]:
    """What the views have no room for, for the notes."""
    of_zones = zones.untold(build, views[-1], measure)
    return (*plan.untold(build, views, measure), *of_zones, *marking.untold(build, views))


def _edge(build: Build, corner: Spot, scale: float, measure: Measure) -> Iterator[Shape]:
    """The plate seen from its long edge, with its thickness."""
    x, y = corner
    upper = y + build.body.thickness * scale
    yield from rectangle("OUTLINE", x, y, x + build.body.length * scale, upper)
    thick = measure.size(build.body.thickness)
    look = UPRIGHT if stands(thick, upper - y) else Look(upright=True, level=True)
    yield from dimension((y, upper), x, x - NEAR, thick, look)


def _sections(build: Build, box: Box, measure: Measure) -> Iterator[Shape]:
    """A section of each type that can be read, and the numbers of those that have no room."""
    left, lower, right, upper = box
    types = hole_types(build)
    drawn = _readable(build, types, box, measure)
    if len(drawn) < len(types):
        drawn = _readable(build, types, (left, lower + LEFT_OUT, right, upper), measure)
        without = [str(one.number) for one in types if one.number not in drawn]
        words = f"No room for section{'s'[: len(without) > 1]} {', '.join(without)}: take a larger paper"
        height = min(NORMAL, (right - left) / breadth(words, 1.0))
        yield Text("SECTION_NOTES", ((left + right) / 2, lower), words, height, "middle")
    for shapes in drawn.values():
        yield from shapes


def _readable(build: Build, types: Sequence[HoleType], box: Box, measure: Measure) -> dict[int, list[Shape]]:
    """The sections of as many types as the box has room for, by their numbers; the last ones give way first."""
    shown = list(types)
    while shown:
        drawn = {
            one.number: list(section(one.hole, build.body.thickness, place, f"Section {one.number}", measure))
            for one, place in zip(shown, grid(len(shown), box), strict=False)
        }
        specks = [one for one in shown[: len(drawn)] if not drawn[one.number]]
        if not specks:
            return drawn
        shown = [one for one in shown[: len(drawn)] if one is not specks[-1]]
    return {}


def _uses(build: Build, views: list[Placed]) -> tuple[list[Use], list[Layer]]:
    """Every group of holes with its symbol, and the layers that they lie on, one a kind and side."""
    types, layers, uses = {one.number: one for one in hole_types(build)}, dict[str, Layer](), list[Use]()
    kinds = list(dict.fromkeys(one.kind for one in types.values()))
    for place, view in enumerate(views):
        for number, group in view.face.groups:
            layer = hole_layer(group.kind, kinds.index(group.kind), hidden=group.face == FAR_SIDE)
            layers[layer.name] = layer
            uses.append(Use(place, _symbol(build, types[number], layer, view.scale), group.layout))
    return uses, list(layers.values())


def _by_type(build: Build, scale: float) -> Iterator[tuple[int, tuple[Symbol, Layer]]]:
    """The symbol of each type as the table shows it, on a layer apart from that of the holes."""
    kinds = list(dict.fromkeys(one.kind for one in hole_types(build)))
    for one in hole_types(build):
        layer = key_layer(hole_layer(one.kind, kinds.index(one.kind), hidden=one.faces == (FAR_SIDE,)))
        yield one.number, (_symbol(build, one, layer, scale), layer)


def _symbol(build: Build, one: HoleType, layer: Layer, scale: float) -> Symbol:
    """A type's symbol: single holes have centre lines; a pattern has them, and numbers, where all of it has room."""
    if not any(isinstance(g.layout, Lattice) for g in build.holes if g.kind == one.kind):
        return symbol(one.number, layer.name, one.hole, scale, crossed=True, tagged=False)
    free = scale * min(_free(build, group) for group in build.holes if isinstance(group.layout, Lattice))
    return symbol(one.number, layer.name, one.hole, scale, crossed=free >= 2 * CROSS + 1, tagged=free >= TAG)


def _free(build: Build, group: HoleGroup) -> float:
    """What is left in mm between a hole of a lattice and a neighbour of any kind and of its size."""
    lattice = group.layout
    if not isinstance(lattice, Lattice):
        return inf
    several = len(lattices(build, group.face)) > 1
    return min(lattice.pitch_x, lattice.pitch_y) / (sqrt(2) if several else 1) - group.hole.widest
