"""A pocket calculator: figures rounded as a line prints them, and multiplied as anyone would check a line."""

from decimal import ROUND_HALF_UP, Decimal
from math import pi
from typing import NamedTuple

RAPID = 20_000 / 60
"""Rapid moves along the tool: 20 m/min."""

POINT = 0.6008606190275604
"""tan 31 deg: twice a 118 deg drill's point over its diameter."""


class Worked(NamedTuple):
    """A line as worked by hand."""

    item: str
    quantity: Decimal
    rate: Decimal
    amount: Decimal


def rounded(figure: float | Decimal, places: int) -> Decimal:
    return Decimal(figure).quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)


def line(item: str, quantity: float, places: int, rate: str) -> Worked:
    printed = rounded(quantity, places)
    return Worked(item, printed, Decimal(rate), rounded(printed * Decimal(rate), 2))


def kilograms(item: str, quantity: float, rate: str) -> Worked:
    return line(item, quantity, 3, rate)


def hours(item: str, seconds: float, rate: str) -> Worked:
    return line(item, seconds / 3600, 4, rate)


def square_metres(item: str, quantity: float, rate: str) -> Worked:
    return line(item, quantity, 4, rate)


def pieces(item: str, quantity: int, rate: str) -> Worked:
    return line(item, quantity, 0, rate)


def missing(item: str, least: str, so_far: Worked) -> Worked:
    """What a charge lacks to the least that it may cost."""
    lacking = Decimal(least) - so_far.amount
    return Worked(item, lacking, Decimal(1), lacking)


def share(item: str, of: Decimal, rate: str) -> Worked:
    return Worked(item, of, Decimal(rate), rounded(of * Decimal(rate), 2))


def total(lines: list[Worked]) -> Decimal:
    return sum((worked.amount for worked in lines), Decimal(0))


def fed(way: float, feed: float, speed: float, diameter: float) -> float:
    """Seconds over a way in mm, at a feed in mm a turn and a cutting speed in mm/s."""
    return way / (feed * speed / (pi * diameter))


def out(way: float) -> float:
    """Seconds to come out again at rapid."""
    return way / RAPID
