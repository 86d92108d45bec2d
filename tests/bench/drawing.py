"""Charts of what was measured, as SVG: times against sizes on logarithmic axes, and ratios as bars."""

from collections.abc import Sequence
from itertools import pairwise
from math import ceil, floor, log10
from typing import Final

from tallyplate.documents.svg import DOWN, MARGIN, UP, WIDTH, box, dot, line, page, serialized, write
from tests.bench.ratios import Row

LEFT: Final = 70.0
RIGHT: Final = float(WIDTH - MARGIN)
TOP: Final = 66.0
HEIGHT: Final = 200.0
STEP: Final = 34.0
FAINT: Final = "0.7"

Points = Sequence[tuple[float, float]]


def curve(title: str, across: str, up: str, points: Points) -> str:
    """Points joined by lines, on logarithmic axes."""
    svg = page(title, f"{up} against {across}", TOP + HEIGHT + 50)
    write(svg, MARGIN, 26, title, font_size="16", font_weight="600")
    write(svg, MARGIN, 44, up, opacity=FAINT)
    xs, ys = ([log10(point[axis]) for point in points] for axis in (0, 1))
    low, high = floor(min(ys)), max(ceil(max(ys)), floor(min(ys)) + 1)
    span = max(xs) - min(xs) or 1.0

    def at(x: float, y: float) -> tuple[float, float]:
        """The place of two logarithms."""
        return LEFT + 12 + (x - min(xs)) / span * (RIGHT - LEFT - 42), TOP + (high - y) / (high - low) * HEIGHT

    for power in range(low, high + 1):
        _, y = at(min(xs), power)
        line(svg, (LEFT, y), (RIGHT, y), stroke_opacity="0.15")
        write(svg, LEFT - 8, y + 4, f"{10.0**power:g}", text_anchor="end", font_size="11", opacity=FAINT)
    places = [at(x, y) for x, y in zip(xs, ys, strict=True)]
    for (size, _), (x, _) in zip(points, places, strict=True):
        write(svg, x, TOP + HEIGHT + 18, f"{size:,.0f}", text_anchor="middle", font_size="11", opacity=FAINT)
    write(svg, RIGHT, TOP + HEIGHT + 38, across, text_anchor="end", font_size="11", opacity=FAINT)
    for start, end in pairwise(places):
        line(svg, start, end, stroke=DOWN, stroke_width="2")
    for place in places:
        dot(svg, place, 3.5, fill=DOWN)
    return serialized(svg)


def bars(title: str, rows: Sequence[Row]) -> str:
    """Ratios on a logarithmic axis, from 1 to the right where they are more and to the left where they are less."""
    svg = page(title, "each a ratio of two times", 64 + STEP * len(rows) + 30)
    write(svg, MARGIN, 26, title, font_size="16", font_weight="600")
    powers = [log10(row.ratio) for row in rows]
    low, high = floor(min([*powers, 0.0])), ceil(max([*powers, 1.0]))

    def x(power: float) -> float:
        return MARGIN + (power - low) / (high - low) * (RIGHT - MARGIN)

    bottom = 60 + STEP * len(rows)
    for power in range(low, high + 1):
        line(svg, (x(power), 44), (x(power), bottom), stroke_opacity="0.15" if power else "0.6")
        anchor = "start" if power == low else "end" if power == high else "middle"
        write(svg, x(power), bottom + 14, f"{10.0**power:g}", text_anchor=anchor, font_size="11", opacity=FAINT)
    for place, (row, tenfold) in enumerate(zip(rows, powers, strict=True)):
        top = 56 + STEP * place
        # What goes on from the row above is set in, as it is in the table.
        inset = 12 if row.what.startswith(" ") else 0
        write(svg, MARGIN + inset, top + 8, row.what.strip()[:68], font_size="11")
        write(svg, RIGHT, top + 8, f"{row.ratio:,.2f}", font_size="11", text_anchor="end")
        box(svg, (x(0), x(tenfold)), top + 13, 8, fill=UP if tenfold > 0 else DOWN)
    return serialized(svg)
