"""What is left under pockets, slots and blind holes, and between those of both faces."""

from collections.abc import Iterator

from tallyplate.contract import Milled
from tallyplate.contract.outlines import between
from tallyplate.findings.finding import PRACTICE, Case, Finding, Severity
from tallyplate.findings.walls import SLACK
from tallyplate.units import decimal_text, unlike


def check(case: Case) -> Iterator[Finding]:
    """Floors thinner than the least wall, which spring under cutting or break through."""
    build, least = case.build, case.shop.walls.between_holes
    thickness = build.body.thickness
    for group in build.holes:
        if group.placed and not group.hole.through:
            yield from _thin(f"{group.word}s leave", group.asked, thickness - group.hole.bores[0].depth, least)
    open_ones = [one for one in build.milled if not one.through]
    for one in open_ones:
        yield from _thin(f"the {one.kind} {one.words} leaves", one.asked, thickness - one.depth, least)
    for one in open_ones:
        beyond = (other for other in open_ones if other.face != one.face)
        over = [other for other in beyond if between(one.outline, other.outline, 0.0) <= 0]
        if over:
            deepest = max(over, key=lambda other: other.depth)
            yield from _thin(_both(deepest, one), one.asked, thickness - one.depth - deepest.depth, least)


def _both(first: Milled, second: Milled) -> str:
    return f"the {second.kind} {second.words} and the {first.kind} of {first.asked} leave"


def _thin(what: str, pointer: str, floor: float, least: float) -> Iterator[Finding]:
    if floor < least - SLACK:
        left = f"{unlike(floor, least, 2)} mm" if floor > 0 else "nothing"
        yield Finding(
            "thin-floor",
            Severity.ERROR,
            pointer,
            f"{what} {left} of floor; at least {decimal_text(least, 2)} mm stay solid",
            PRACTICE,
        )
