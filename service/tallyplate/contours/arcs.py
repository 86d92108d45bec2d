"""Arcs as straight chords, no farther from them than a stated error.

A chord that spans an angle a on a radius r lies r (1 - cos(a / 2)) from the arc at most: the sagitta, of any geometry
textbook. An arc of a polyline is stated by its bulge, the tangent of a quarter of the angle that it spans, positive
counterclockwise (reference of DXF, from memory; the tests hold it to a library that knows the format).
"""

from math import acos, atan, ceil, cos, hypot, pi, sin, tan

from tallyplate.contract.outlines import Spot


def chords(radius: float, sweep: float, error: float) -> int:
    """How many chords an arc takes, given its radius, the angle that it spans in radians and the greatest error."""
    widest = 2 * acos(1 - error / radius) if error < radius else pi
    return max(1, ceil(abs(sweep) / widest - 1e-9))


def arc(centre: Spot, radius: float, start: float, sweep: float, error: float) -> list[Spot]:
    """Places on an arc from its start to its end, both among them; angles in radians."""
    steps = chords(radius, sweep, error)
    turns = [start + sweep * step / steps for step in range(steps + 1)]
    return [(centre[0] + radius * cos(turn), centre[1] + radius * sin(turn)) for turn in turns]


def bulged(start: Spot, end: Spot, bulge: float, error: float) -> list[Spot]:
    """Places between two corners that an arc joins, without the corners themselves."""
    (x1, y1), (x2, y2) = start, end
    long, sweep = hypot(x2 - x1, y2 - y1), 4 * atan(bulge)
    if not long or not bulge:
        return []
    radius = long / (2 * abs(sin(sweep / 2)))
    away = 1 / (2 * tan(sweep / 2)) if abs(abs(sweep) - pi) > 1e-12 else 0.0  # noqa: PLR2004 - half a turn
    centre = (x1 + x2) / 2 - (y2 - y1) * away, (y1 + y2) / 2 + (x2 - x1) * away
    steps = chords(radius, sweep, error)
    turn = sweep / steps
    from_centre = x1 - centre[0], y1 - centre[1]
    return [
        (
            centre[0] + from_centre[0] * cos(step * turn) - from_centre[1] * sin(step * turn),
            centre[1] + from_centre[0] * sin(step * turn) + from_centre[1] * cos(step * turn),
        )
        for step in range(1, steps)
    ]
