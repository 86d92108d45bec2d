"""Key seats in the underside: whether they have a place, and which holes come nearer to one than the least wall."""

from collections.abc import Iterator
from typing import Final

from tallyplate.contract import HoleGroup, Lattice, Recess, letters
from tallyplate.contract.seats import apart, nodes_near, opening
from tallyplate.findings.finding import PRACTICE, Case, Finding, Severity
from tallyplate.findings.walls import SLACK
from tallyplate.units import counted, decimal_text, unlike

LOCATE: Final = "/plate/mounting/locate"
OPEN: Final = "hole opens into", "holes open into"
NEAR: Final = "hole comes too near to", "holes come too near to"
NAMED: Final = 12
"""Holes named in the sentence; the rest are counted."""

Near = tuple[float, str]
"""The wall in mm that a hole leaves to a seat, and the hole by its engraved name and kind."""


def check(case: Case) -> Iterator[Finding]:
    """Seats without a place, and holes too near to one: a caution, since a hole that opens into a seat still holds."""
    least = case.shop.walls.between_holes
    for seat in case.build.recesses:
        kind = seat.kind.replace("_", " ")
        if not seat.at:
            yield Finding(
                "unplaced-seat",
                Severity.CAUTION,
                LOCATE,
                f"no slot of the table has room for {seat.count} {kind}s of {decimal_text(seat.length, 1)} mm beside "
                "the holding screws; their places are left to the shop, and holes are not checked against them",
                PRACTICE,
            )
        found = [near for group in case.build.holes for near in _near(group, seat, case)]
        if found:
            wall, _ = min(found)
            names = ", ".join(dict.fromkeys(name for _, name in found[:NAMED]))
            more = f" and {len(found) - NAMED} more" if len(found) > NAMED else ""
            what = OPEN if wall < 0 else NEAR
            yield Finding(
                "seat-wall",
                Severity.CAUTION,
                LOCATE,
                f"{counted(len(found), *what)} the {kind}s in the underside: {names}{more}; the least wall is "
                f"{unlike(wall, least, 2)} mm, and at least {decimal_text(least, 2)} mm stay solid. Chips and coolant "
                "get at the keys, and a screw must not be driven so deep that it meets one",
                PRACTICE,
            )


def _near(group: HoleGroup, seat: Recess, case: Case) -> Iterator[Near]:
    """The holes of a group that come too near to a seat."""
    body, walls = case.build.body, case.shop.walls
    radius = opening(group, seat, body.thickness, walls) / 2
    if not radius or group.crowded or group.face not in {"top", "bottom"}:
        return
    layout, distance = group.layout, radius + walls.between_holes
    if isinstance(layout, Lattice):
        spots = {
            layout.position(node): f"{letters(node[0] + 1)}{node[1] + 1}" for node in nodes_near(layout, seat, distance)
        }
    else:
        spots = {spot: str(number) for number, spot in enumerate(layout.positions(), start=1)}
    for spot, name in spots.items():
        wall = min((apart(seat, place, spot) for place in seat.at), default=distance) - radius
        if wall < walls.between_holes - SLACK:
            yield wall, f"{name} ({group.kind})"
