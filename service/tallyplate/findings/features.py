"""Pockets, slots and cut-outs against everything near them: edges, holes, seats, and each other."""

from collections.abc import Iterator
from itertools import combinations
from typing import Final

from tallyplate.contract import Body, Build, Milled, Outline, Points, Recess
from tallyplate.contract.outlines import between, farthest, inset, rectangle
from tallyplate.findings.finding import PRACTICE, Case, Finding, Severity
from tallyplate.findings.walls import SLACK
from tallyplate.units import counted, decimal_text, unlike

BOTTOM: Final = "bottom"


Near = tuple[float, str, float]
"""The wall in mm that is left to something beside a feature, what that is, and the least wall."""


def check(case: Case) -> Iterator[Finding]:
    """For each feature the thinnest wall that it leaves, where that is too thin.

    The pattern has made way already, so that only single holes are looked at.
    """
    build, walls = case.build, case.shop.walls
    found: dict[int, list[Near]] = {}
    for number, one in enumerate(build.milled):
        near = (to_edge(one.outline, build.body), "the edge of the plate", max(walls.to_edge, build.body.chamfer))
        found[number] = [
            near,
            *_near_holes(one, build, walls.between_holes),
            *_near_seats(one, build, walls.between_holes),
        ]
    for (number, one), (other_number, other) in combinations(enumerate(build.milled), 2):
        if _share_depth(one, other, build.body.thickness, walls.between_holes):
            away = between(one.outline, other.outline, walls.between_holes)
            found[number].append((away, f"the {other.kind} of {other.asked}", walls.between_holes))
            found[other_number].append((away, f"the {one.kind} of {one.asked}", walls.between_holes))
    for number, one in enumerate(build.milled):
        thin = sorted(near for near in found[number] if near[0] < near[2] - SLACK)
        if thin:
            yield _thin(one, *thin[0], len(thin) - 1)
    yield from _kept_free(build)


def _near_holes(of: Milled, build: Build, least: float) -> Iterator[Near]:
    for group in build.holes:
        if isinstance(group.layout, Points):
            away = min(map(of.outline.apart, group.layout.at)) - group.hole.widest / 2
            yield away, f"a {group.word}", least


def _near_seats(of: Milled, build: Build, least: float) -> Iterator[Near]:
    for seat in build.recesses:
        if _meets(of, seat, build, least) and seat.at:
            kind = seat.kind.replace("_", " ")
            yield min(_to_seat(of.outline, seat, spot) for spot in seat.at), f"a {kind}", least


def _thin(of: Milled, wall: float, beside: str, least: float, others: int) -> Finding:
    what = f"runs into {beside}" if wall <= 0 else f"leaves {unlike(wall, least, 2)} mm to {beside}"
    more = f", and comes too near to {others} more" if others else ""
    return Finding(
        "feature-wall",
        Severity.ERROR,
        of.asked,
        f"the {of.kind} {of.words} {what}{more}; at least {decimal_text(least, 2)} mm stay solid",
        PRACTICE,
    )


def to_edge(outline: Outline, body: Body) -> float:
    """Least distance in mm of an outline from the edge of a flat plate; less than nothing where it reaches beyond."""
    if body.disc:
        radius = body.length / 2
        return radius - farthest(outline, (radius, radius))
    away = min(inset(spot, body.length, body.width, body.corner) for spot in outline.core)
    return away - outline.radius


def _share_depth(one: Milled, other: Milled, thickness: float, least: float) -> bool:
    """Whether two come so near in depth that they must be apart in plan: of one face, or from both too deep."""
    return one.face == other.face or thickness - one.depth - other.depth < least - SLACK


def _meets(one: Milled, seat: Recess, build: Build, least: float) -> bool:
    return one.face == seat.face or build.body.thickness - one.depth - seat.depth < least - SLACK


def _to_seat(outline: Outline, seat: Recess, spot: tuple[float, float]) -> float:
    x, y = spot
    half = seat.length / 2, seat.width / 2
    box = rectangle(x - half[0], y - half[1], x + half[0], y + half[1])
    return between(outline, box, seat.length + seat.width)


def _kept_free(build: Build) -> Iterator[Finding]:
    """Holes that hold or locate the plate in areas that its pattern leaves free."""
    for free in build.kept_free:
        found = [
            group.kind
            for group in build.holes
            if group.mounting and isinstance(group.layout, Points)
            for spot in group.layout.at
            if free.outline.apart(spot) < group.hole.widest / 2 - SLACK
        ]
        if found:
            kinds = ", ".join(f"{found.count(kind)} {kind}" for kind in dict.fromkeys(found))
            lie = counted(len(found), "mounting hole lies", "mounting holes lie")
            yield Finding(
                "in-kept-area",
                Severity.CAUTION,
                free.asked,
                f"{lie} in an area that is to be kept free: {kinds}",
                PRACTICE,
            )
