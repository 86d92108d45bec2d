"""Solid between features: hole against hole and hole against edge, on the whole plate and in closed form."""

from collections.abc import Iterator
from functools import lru_cache
from itertools import combinations
from math import hypot, inf

from msgspec.structs import replace

from tallyplate.contract import Body, HoleGroup, Lattice, Layout, Points, Taken
from tallyplate.contract.outlines import inset
from tallyplate.findings.finding import PRACTICE, Case, Finding, Severity
from tallyplate.lattice import crowded
from tallyplate.units import decimal_text, unlike

THROUGH = ({"top", "bottom"}, {"base", "bottom"})
"""Faces whose coordinates are one another's and whose holes may meet inside; `across` looks at the others."""

MOST_STEPS = 5_000
"""Places of a row of which each is looked at."""

SLACK = 1e-6
"""Millimetres by which a wall may fall short for the sake of binary fractions."""


def check(case: Case) -> Iterator[Finding]:
    """Walls too thin to stand, between any two holes and to the edge."""
    walls, body = case.shop.walls, case.build.body
    groups = [(group, group.hole.widest) for group in case.build.holes]
    to_edge = max(walls.to_edge, body.chamfer)
    for group, widest in groups:
        yield from _thin(group, group, group.layout.spacing - widest, walls.between_holes)
        clear = edge_distance(group.layout, body, group.face) - widest / 2
        if clear < to_edge - SLACK:
            yield Finding(
                "thin-edge",
                Severity.ERROR,
                _pointer(group),
                f"{unlike(clear, to_edge, 2)} mm from a {group.word} to the edge; at least "
                f"{decimal_text(to_edge, 2)} mm stay solid",
                PRACTICE,
            )
    # What holes run into besides that run into each other, as is told already, is not sought.
    apart = [(group, widest) for group, widest in groups if not group.crowded]
    for (first, wide), (second, wider) in combinations(apart, 2):
        if first.face != second.face and {first.face, second.face} not in THROUGH:
            continue
        reach = (wide + wider) / 2
        between = distance(first.layout, second.layout, reach + walls.between_holes)
        yield from _thin(first, second, between - reach, walls.between_holes)


def _thin(first: HoleGroup, second: HoleGroup, wall: float, least: float) -> Iterator[Finding]:
    if wall < least - SLACK:
        what = "overlap" if wall < 0 else "leave too thin a wall"
        yield Finding(
            "thin-wall",
            Severity.ERROR,
            _pointer(second if second.mounting else first),
            f"{_holes(first, second)} {what}: {unlike(wall, least, 2)} mm between them; at least "
            f"{decimal_text(least, 2)} mm stay solid",
            PRACTICE,
        )


def _holes(first: HoleGroup, second: HoleGroup) -> str:
    """Both in words; where there are zones, each with its own."""
    if first.zone or second.zone:
        return f"holes ({first.called}) and holes ({second.called})"
    if first.kind == second.kind:
        return f"{first.word}s"
    return f"{first.word}s and {second.word}s"


def _pointer(group: HoleGroup) -> str:
    return group.asked or ("/plate/mounting" if group.mounting else "/plate/pattern")


def edge_distance(layout: Layout, body: Body, face: str = "top") -> float:
    """Least distance in mm of a centre from the outline of the face that it is on.

    A lattice has made way for round corners already, so that only its sides are looked at.
    """
    length, width = body.length, body.width
    for one in body.faces:
        if one.name == face:
            length, width = one.length, one.width
    if body.disc:
        return body.length / 2 - max(
            (hypot(x - body.length / 2, y - body.length / 2) for x, y in _outermost(layout)), default=0.0
        )
    if isinstance(layout, Lattice):
        left, lower, right, upper = layout.box
        return min(left, lower, length - right, width - upper)
    return min([inset((x, y), length, width, body.corner) for x, y in layout.at], default=inf)


def _outermost(layout: Layout) -> Iterator[tuple[float, float]]:
    """The positions among which the one farthest out is: the ends of each row, or all that were given."""
    if isinstance(layout, Points):
        yield from layout.at
        return
    spans = layout.spans or ((0, layout.columns - 1),) * layout.rows
    for row, (first, last) in enumerate(spans):
        if first <= last:
            yield layout.position((first, row))
            yield layout.position((last, row))


def distance(first: Layout, second: Layout, within: float) -> float:
    """Least distance in mm between centres of two layouts, or infinite where none is nearer than `within`."""
    if isinstance(first, Points):
        if isinstance(second, Points):
            return min([hypot(x2 - x1, y2 - y1) for x1, y1 in first.at for x2, y2 in second.at], default=inf)
        return _to_lattice(first, second, within)
    if isinstance(second, Points):
        return _to_lattice(second, first, within)
    return _between_lattices(first, second, within)


def _to_lattice(points: Points, lattice: Lattice, within: float) -> float:
    bare = replace(lattice, without=()) if lattice.without else lattice
    near = crowded(bare, points, within).difference(lattice.without)
    if not near:
        return inf
    return min(hypot(node_x - x, node_y - y) for node_x, node_y in map(lattice.position, near) for x, y in points.at)


def _between_lattices(first: Lattice, second: Lattice, within: float) -> float:
    """Columns and rows are independent, so the least distance is that of the nearest columns and the nearest rows.

    Two kinds that take turns on one lattice are one pitch apart. Positions given up are still counted: the answer is
    never too large.
    """
    if _between_boxes(first.box, second.box) >= within:
        return inf
    taking_turns = {first.taken, second.taken} == {Taken.EVEN, Taken.ODD}
    if taking_turns and (first.x, first.y, first.pitch_x) == (second.x, second.y, second.pitch_x):
        if first.bare_columns or first.bare_rows:
            return first.between(first.taken, second.taken)
        return min(first.pitch_x if first.columns > 1 else inf, first.pitch_y if first.rows > 1 else inf)
    columns = between_steps(first.x, first.pitch_x, first.columns, second.x, second.pitch_x, second.columns)
    rows = between_steps(first.y, first.pitch_y, first.rows, second.y, second.pitch_y, second.rows)
    return hypot(columns, rows)


def _between_boxes(first: tuple[float, float, float, float], second: tuple[float, float, float, float]) -> float:
    across = max(first[0] - second[2], second[0] - first[2], 0.0)
    up = max(first[1] - second[3], second[1] - first[3], 0.0)
    return hypot(across, up)


@lru_cache(maxsize=1024)
def between_steps(
    start: float, step: float, count: int, other_start: float, other_step: float, other_count: int
) -> float:
    """Least distance between two rows of evenly spaced places: for each of the fewer, the nearest of the others.

    Between two rows of thousands, which no plate has room for, it is that between their ends, which is no more.
    """
    if count > other_count:
        return between_steps(other_start, other_step, other_count, start, step, count)
    if count > MOST_STEPS:
        end, other_end = start + (count - 1) * step, other_start + (other_count - 1) * other_step
        return max(start - other_end, other_start - end, 0.0)
    nearest = inf
    for index in range(count):
        place = start + index * step
        beside = min(max(round((place - other_start) / other_step), 0), other_count - 1)
        nearest = min(nearest, abs(other_start + beside * other_step - place))
        if nearest == 0:
            break
    return nearest
