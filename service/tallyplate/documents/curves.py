"""A chart of a price against one answer: the points that were tried, those that cannot be made set apart."""

from collections.abc import Callable, Sequence
from decimal import Decimal
from itertools import pairwise
from math import log
from typing import Final
from xml.etree.ElementTree import Element

from msgspec import Struct

from tallyplate.documents.charts import COLUMNS, FAINT, LEFT, RIGHT, SIGN, TICK, round_pace, ticks
from tallyplate.documents.svg import DOWN, UP, dot, line, page, serialized, write
from tallyplate.documents.texts import grouped, shortened, width

TOP: Final = 104.0
BOTTOM: Final = 330.0
HEIGHT: Final = 384.0
LEGEND: Final = 72.0
RADIUS: Final = 3.5
RING: Final = 6.5
"""Radius of the ring about the present point."""
PACES: Final = 5
"""Most parts of the axis of amounts."""
LEAST: Final = 0.02
"""Least part of the chart that a mark keeps from its edges."""

Place = Callable[[Decimal], float]


class Dot(Struct, frozen=True):
    """A point: its number along the chart and what it comes to, None where it has no price.

    `sound` says that it can be made, `present` that it is what was asked for.
    """

    at: Decimal
    amount: Decimal | None
    sound: bool = True
    present: bool = False


class Axis(Struct, frozen=True):
    """What lies along the chart; `ratio` places numbers by their ratios, so that doubling is as long everywhere."""

    title: str
    ratio: bool = False


def curve(title: str, subtitle: str, dots: Sequence[Dot], axis: Axis) -> str:
    """A chart of points in rising order, joined by lines to guide the eye."""
    amounts = [one.amount for one in dots if one.amount is not None] or [Decimal()]
    marks = _amounts(min(amounts), max(amounts))
    left = LEFT + TICK * max(width(grouped(mark)) for mark in marks) + 8
    across = _across(dots, axis.ratio, left)

    def up(amount: Decimal) -> float:
        return BOTTOM - float((amount - marks[0]) / (marks[-1] - marks[0])) * (BOTTOM - TOP)

    svg = page(title, f"{subtitle}, against {axis.title}", HEIGHT)
    write(svg, LEFT, 26, shortened(title, 42), font_size="16", font_weight="600")
    write(svg, LEFT, 46, shortened(subtitle, COLUMNS), opacity=FAINT)
    _legend(svg, dots)
    for mark in marks:
        line(svg, (left, up(mark)), (RIGHT, up(mark)), stroke_opacity="0.12" if mark else "0.4")
        write(svg, left - 8, up(mark) + 4, grouped(mark), text_anchor="end", font_size="11", opacity=FAINT)
    _numbers(svg, dots, across)
    write(svg, RIGHT, BOTTOM + 40, shortened(axis.title, COLUMNS), text_anchor="end", font_size="11", opacity=FAINT)
    _points(svg, dots, across, up)
    return serialized(svg)


def _points(svg: Element, dots: Sequence[Dot], across: Place, up: Place) -> None:
    placed = [(one, (across(one.at), BOTTOM if one.amount is None else up(one.amount))) for one in dots]
    for (one, start), (other, end) in pairwise(placed):
        if one.amount is not None and other.amount is not None:
            sound = one.sound and other.sound
            look = {"stroke": DOWN, "stroke_width": "2"} if sound else {"stroke": UP, "stroke_dasharray": "3 3"}
            line(svg, start, end, **look)
    for one, (x, y) in placed:
        if one.present:
            line(svg, (x, y), (x, BOTTOM), stroke_opacity="0.4", stroke_dasharray="2 3")
            dot(svg, (x, y), RING, fill="none", stroke="currentColor", stroke_width="1.5")
        _mark(svg, one, (x, y))
    for index, (one, at) in enumerate(placed):
        if one.present and one.amount is not None:
            rising = index > 0 and placed[index - 1][1][1] > at[1]
            _said(svg, grouped(one.amount), at, "end" if rising else "start")


def _mark(svg: Element, one: Dot, at: tuple[float, float]) -> None:
    x, y = at
    if one.amount is None:
        for slope in (-1, 1):
            line(svg, (x - 4, y - 4 * slope), (x + 4, y + 4 * slope), stroke=UP, stroke_width="1.5")
    elif one.sound:
        dot(svg, at, RADIUS, fill=DOWN)
    else:
        dot(svg, at, RADIUS, fill="Canvas", stroke=UP, stroke_width="1.5")


def _said(svg: Element, words: str, at: tuple[float, float], anchor: str) -> None:
    """What the present point comes to, above it on the side that its line leaves free, and within the page."""
    long = SIGN * width(words)
    x = min(at[0] - 2, RIGHT - long) if anchor == "start" else max(at[0] + 2, LEFT + long)
    halo = {"stroke": "Canvas", "stroke_width": "4", "paint_order": "stroke"}
    write(svg, x, at[1] - RING - 6, words, text_anchor=anchor, font_weight="600", **halo)


def _legend(svg: Element, dots: Sequence[Dot]) -> None:
    """The kinds of marks that there are."""
    kinds = {(one.amount is None, one.sound): one for one in dots}
    x = LEFT
    for (unpriced, sound), one in sorted(kinds.items(), key=lambda item: (item[0][0], not item[0][1])):
        words = "has no price" if unpriced else "can be made" if sound else "cannot be made"
        _mark(svg, Dot(one.at, one.amount, one.sound), (x + 5, LEGEND - 4))
        write(svg, x + 14, LEGEND, words, font_size="11", opacity=FAINT)
        x += 14 + TICK * width(words) + 10


def _numbers(svg: Element, dots: Sequence[Dot], across: Place) -> None:
    """Numbers below the points: the present one's, the ends', and of the others those that have room."""
    taken: list[tuple[float, float]] = []
    ends = {0, len(dots) - 1}
    for _, one in sorted(enumerate(dots), key=lambda item: (not item[1].present, item[0] not in ends, item[0])):
        words = grouped(one.at)
        half, x = TICK * width(words) / 2 + 3, across(one.at)
        middle = min(max(x, LEFT + half), RIGHT - half)
        if all(middle + half <= start or end <= middle - half for start, end in taken):
            taken.append((middle - half, middle + half))
            line(svg, (x, BOTTOM), (x, BOTTOM + 4), stroke_opacity="0.4")
            look = {"font_weight": "600"} if one.present else {"opacity": FAINT}
            write(svg, middle, BOTTOM + 18, words, text_anchor="middle", font_size="11", **look)


def _across(dots: Sequence[Dot], ratio: bool, left: float) -> Place:
    def number(at: Decimal) -> float:
        return log(at) if ratio else float(at)

    first, last = (number(dots[index].at) for index in (0, -1)) if dots else (0.0, 0.0)
    inset = (RIGHT - left) * LEAST + RING
    span = last - first or 1.0
    return lambda at: left + inset + (number(at) - first) / span * (RIGHT - left - 2 * inset)


def _amounts(low: Decimal, high: Decimal) -> list[Decimal]:
    """Round amounts from below the least to above the greatest; from nothing where that is not far."""
    low = Decimal() if low < high / 2 else low
    pace = round_pace(high - low or high or Decimal(1), PACES)
    first, last = low // pace, high // pace + bool(high % pace)
    return ticks(first * pace, max(last, first + 1) * pace, pace)
