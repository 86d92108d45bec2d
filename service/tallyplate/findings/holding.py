"""What holds the plate on its machine: how many screws, and how far the plate reaches beyond them."""

from collections.abc import Iterator

from tallyplate.contract import Body, HoleGroup
from tallyplate.findings.finding import PRACTICE, Case, Finding, Severity
from tallyplate.units import decimal_text, unlike

HOLDING = "holding"
"""The kind of hole that a holding screw goes through."""

SIDES = (0, 1)
"""Places of length and width among the sizes of a body."""


def beyond(group: HoleGroup, body: Body, side: int) -> float:
    """How far in mm a body reaches, along one side, beyond the outermost of some holes."""
    size, places = (body.length, body.width)[side], [place[side] for place in group.layout.positions()]
    return max(min(places), size - max(places))


def check(case: Case) -> Iterator[Finding]:
    """A single screw, about which a plate can turn; a plate that reaches far beyond the screws that hold it."""
    body, most = case.build.body, case.shop.limits.overhang
    holding = [group for group in case.build.holes if group.kind == HOLDING]
    if sum(group.count for group in holding) == 1:
        yield Finding(
            "single-screw",
            Severity.CAUTION,
            holding[0].asked,
            "1 holding screw, about which the plate can turn; at least 2 hold it",
            PRACTICE,
        )
    if most is None or body.disc:
        return
    for side in SIDES:
        reach = min((beyond(group, body, side) for group in holding), default=0.0)
        if reach > most * body.edge:
            yield Finding(
                "overhang",
                Severity.CAUTION,
                holding[0].asked if body.faces else f"/plate/{body.named[side]}",
                f"the plate reaches {unlike(reach, most * body.edge, 1)} mm beyond the screws that hold it, by slots "
                f"or holes {decimal_text(case.build.table.spacing, 2)} mm apart; at {decimal_text(body.edge, 2)} mm "
                f"thick, {decimal_text(most * body.edge, 1)} mm do not spring",
                f"{PRACTICE}; overhang of shop data {case.shop.id}",
            )
