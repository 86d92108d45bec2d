"""Thickness against what stands in it: bushing, then enough thread below."""

from collections.abc import Iterator

from tallyplate.contract import Body, HoleGroup
from tallyplate.findings.finding import PRACTICE, Case, Finding, Severity
from tallyplate.units import decimal_text, unlike

CLAMPING = ("tapped", "combination")
"""Kinds of hole that a clamping screw goes into."""

ENGAGED = {"tapped": 1.0, "combination": 1.0, "lifting": 1.5}
"""Least full thread in diameters, by kind of hole: for a clamping screw the usual rule for steel (softer metal wants
more), for an eye bolt the usual rule of riggers (verified in a maker's instructions for shouldered eye bolts)."""


def where(group: HoleGroup, body: Body) -> str:
    """The field that says how deep a hole can be: a plate's thickness, or what asks for holes in a block's faces."""
    return group.asked if body.faces else f"/plate/{body.named[2]}"


def check(case: Case) -> Iterator[Finding]:
    """Holes whose thread would be too short, or have no room at all."""
    for group in case.build.holes:
        thickness, above = group.hole.bores[0].depth, group.hole.above
        thread, engaged = group.hole.thread, ENGAGED.get(group.kind, 0.0)
        if engaged and (thread is None or thread.depth < engaged * thread.major):
            depth = thread.depth if thread else 0.0
            seat = f" under a seat of {decimal_text(above, 2)} mm" if above else ""
            needed = engaged * (thread.major if thread else group.hole.bores[0].diameter)
            yield Finding(
                "short-thread",
                Severity.ERROR,
                where(group, case.build.body),
                f"{decimal_text(thickness, 2)} mm leave {unlike(depth, needed, 2)} mm of thread in {group.kind} holes"
                f"{seat}; at least {decimal_text(needed, 2)} mm hold a screw",
                "one diameter of engagement, a rule of thumb for steel, softer metal wants more; 1.5 for eye bolts",
            )
        if group.hole.through and above >= thickness:
            yield Finding(
                "no-floor",
                Severity.ERROR,
                where(group, case.build.body),
                f"the seat of {group.kind} holes is {decimal_text(above, 2)} mm deep; the plate is "
                f"{decimal_text(thickness, 2)} mm thick",
                PRACTICE,
            )
    for recess in case.build.recesses:
        if recess.depth >= case.build.body.edge:
            yield Finding(
                "no-floor",
                Severity.ERROR,
                f"/plate/{case.build.body.named[2]}",
                f"{recess.kind.replace('_', ' ')}s are {decimal_text(recess.depth, 2)} mm deep; the plate is "
                f"{decimal_text(case.build.body.edge, 2)} mm thick",
                PRACTICE,
            )
