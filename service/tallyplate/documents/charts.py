"""Charts for finance: a waterfall from one total to another, and a tornado of what moves a price.

Each bar lies under a line of its own that says what it is and what it comes to, so that a chart reads like a table.
"""

from collections.abc import Callable, Sequence
from decimal import Decimal
from itertools import accumulate, pairwise
from typing import Final
from xml.etree.ElementTree import Element

from msgspec import Struct

from tallyplate.documents.svg import DOWN, MARGIN, UP, WIDTH, aside, box, line, page, serialized, write
from tallyplate.documents.texts import grouped, shortened, signed, width

TOP: Final = 84
ROW: Final = 36
DROP: Final = 20
"""From the top of a row to its bar."""
BAR: Final = 9
FOOT: Final = 46
COLUMNS: Final = 56
"""Signs that fit the line of a row."""
SIGN: Final = 8.0
"""Width of a sign of the widest of the usual typefaces; the narrower ones leave more room."""
TICK: Final = 7.0
"""Width of a sign beside a tick, in the smaller type there."""
LEFT, RIGHT = float(MARGIN), float(WIDTH - MARGIN)
FAINT: Final = "0.7"
"""Opacity of what is said by the way."""

Scale = Callable[[Decimal], float]


class Bar(Struct, frozen=True):
    """A name and an amount."""

    name: str
    amount: Decimal


class Swing(Struct, frozen=True):
    """How far a price goes when a figure goes down and up; None where it cannot be said. `note` is the figure itself.

    A `step` is drawn as an outline: its length holds at this distance only.
    """

    name: str
    note: str
    down: Decimal | None
    up: Decimal | None
    step: bool = False


def waterfall(title: str, start: Bar, steps: Sequence[Bar], end: str, unit: str) -> str:
    """A chart from a total over steps to the total that they lead to, which is named `end`."""
    totals = list(accumulate((step.amount for step in steps), initial=start.amount))
    # The bars end before the values, so that no connecting line runs through a figure.
    values = [grouped(totals[0]), *(signed(step.amount) for step in steps), grouped(totals[-1])]
    right = RIGHT - SIGN * max(map(width, values)) - 8
    begin, pace = _begin(min(totals), max(totals), right)
    scale = _scale(begin, max(totals), right)
    svg = _page(title, f"From {start.name} to {end}, {unit}", len(totals) + 1, ("dearer", "cheaper"))
    _axis(svg, len(totals) + 1, scale, ticks(begin, max(totals), pace))
    if begin > 0:
        foot = _top(len(totals) + 1) + FOOT - 8
        write(svg, LEFT, foot, f"The axis begins at {grouped(begin)}.", font_size="11", opacity=FAINT)
    for row, whole in ((0, start), (len(totals), Bar(end, totals[-1]))):
        _label(svg, row, (whole.name, ""), grouped(whole.amount), font_weight="600")
        stub = LEFT + 8 if begin > 0 else LEFT
        if begin > 0:  # The gap says that the bar is cut.
            box(svg, (LEFT, LEFT + 5), _top(row) + DROP, BAR, fill_opacity="0.55")
        box(svg, (max(stub, scale(Decimal())), scale(whole.amount)), _top(row) + DROP, BAR, fill_opacity="0.55")
    for row, (step, (before, after)) in enumerate(zip(steps, pairwise(totals), strict=True), start=1):
        _label(svg, row, (step.name, ""), signed(step.amount))
        box(svg, (scale(before), scale(after)), _top(row) + DROP, BAR, fill=_colour(step.amount))
    for row, total in enumerate(totals):
        x = scale(total)
        line(svg, (x, _top(row) + DROP + BAR), (x, _top(row + 1) + DROP), stroke_opacity="0.45")
    return serialized(svg)


def tornado(title: str, swings: Sequence[Swing], unit: str) -> str:
    """A chart of swings about a price, each bar as long as it moves the price."""
    greatest = max((abs(move) for one in swings for move in (one.down, one.up) if move is not None), default=Decimal())
    scale = _scale(-greatest, greatest, RIGHT)
    svg = _page(title, f"Change in price, {unit}", len(swings), ("figure 1 % up", "figure 1 % down"))
    _axis(svg, len(swings), scale, ticks(-greatest, greatest, _pace(2 * greatest, greatest, RIGHT)))
    for row, one in enumerate(swings):
        moves = " / ".join("\u2013" if move is None else signed(move) for move in (one.up, one.down))
        _label(svg, row, (one.name, f"{one.note}, a step" if one.step else one.note), moves)
        for move, colour in ((one.up, UP), (one.down, DOWN)):
            if move:
                look = {"fill": "none", "stroke": colour, "stroke_width": "1.5"} if one.step else {"fill": colour}
                box(svg, (scale(Decimal()), scale(move)), _top(row) + DROP, BAR, **look)
    return serialized(svg)


def _page(title: str, subtitle: str, rows: int, legend: tuple[str, str]) -> Element:
    svg = page(title, subtitle, _top(rows) + FOOT)
    write(svg, LEFT, 26, shortened(title, 42), font_size="16", font_weight="600")
    write(svg, LEFT, 46, shortened(subtitle, COLUMNS), opacity=FAINT)
    x = LEFT
    for words, colour in zip(legend, (UP, DOWN), strict=True):
        box(svg, (x, x + BAR), 66 - BAR, BAR, fill=colour)
        write(svg, x + BAR + 5, 66, words, font_size="11", opacity=FAINT)
        x += BAR + 5 + SIGN * len(words) + 4
    return svg


def _label(svg: Element, row: int, names: tuple[str, str], value: str, **look: str) -> None:
    """The line of a row: its name, which is shortened to the room that is left, a note, and its value on the right."""
    name, note = names
    room = COLUMNS - width(value) - 2
    note = shortened(note, room // 2)
    place = write(svg, LEFT, _top(row) + 14, shortened(name, room - width(note) - 2), **look)
    if note:
        aside(place, note, opacity=FAINT)
    write(svg, RIGHT, _top(row) + 14, value, text_anchor="end", font_variant_numeric="tabular-nums", **look)


def _colour(change: Decimal) -> str:
    if change:
        return UP if change > 0 else DOWN
    return "currentColor"


def _axis(svg: Element, rows: int, scale: Scale, ticks: Sequence[Decimal]) -> None:
    bottom = _top(rows) + 4
    for tick in ticks:
        x = scale(tick)
        line(svg, (x, TOP), (x, bottom), stroke_opacity="0.12" if tick else "0.4")
        anchor = "start" if x < LEFT + 24 else "end" if x > RIGHT - 24 else "middle"
        write(svg, x, bottom + 16, grouped(tick), text_anchor=anchor, font_size="11", opacity=FAINT)


def _top(row: int) -> float:
    return TOP + row * ROW


def _scale(low: Decimal, high: Decimal, end: float) -> Scale:
    """From an amount to its place across the page."""
    span = high - low or Decimal(1)
    return lambda amount: LEFT + float((amount - low) / span) * (end - LEFT)


def _begin(low: Decimal, high: Decimal, end: float) -> tuple[Decimal, Decimal]:
    """Where an axis begins, and its pace: near the lowest total where steps would else be too short to see."""
    span = high - low
    if low > 0 and 0 < span < low / 2:
        pace = _pace(span * 3 / 2, high, end)
        return max((low - span / 4) // pace * pace, Decimal()), pace
    return min(low, Decimal()), _pace(high - min(low, Decimal()), high, end)


def _pace(span: Decimal, longest: Decimal, end: float) -> Decimal:
    """A round distance between ticks, as short as their labels allow."""
    if not span:
        return Decimal(1)
    most = min(5, max(2, int((end - LEFT) / (TICK * width(grouped(longest // 1)) + 16))))
    return round_pace(span, most)


def round_pace(span: Decimal, most: int) -> Decimal:
    """The least of 1, 2 or 5 times a power of ten that parts a span, which is not nothing, into at most so many."""
    power = Decimal(1).scaleb((span / most).adjusted())
    return next(many * power for many in (1, 2, 5, 10) if many * power * most >= span)


def ticks(low: Decimal, high: Decimal, pace: Decimal) -> list[Decimal]:
    """The multiples of a pace from one amount to another."""
    first = -(-low // pace)
    return [(first + place) * pace for place in range(int((high - first * pace) // pace) + 1)]
