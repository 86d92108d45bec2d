"""Thickness against what stands in it: bushing, then enough thread below."""

from collections.abc import Iterator

from tallyplate.findings.finding import PRACTICE, Case, Finding, Severity
from tallyplate.units import decimal_text

CLAMPING = {"tapped", "combination"}
"""Kinds of hole that a clamping screw goes into."""

ENGAGED = 1.0
"""Least full thread in diameters for a clamping screw to hold (the usual rule for steel; softer metal wants more)."""


def check(case: Case) -> Iterator[Finding]:
    """Holes whose thread would be too short, or have no room at all."""
    thickness = case.build.body.thickness
    for group in case.build.holes:
        seat = max((bore.depth for bore in group.hole.bores[1:]), default=0.0)
        thread, threaded = group.hole.thread, group.kind in CLAMPING
        if threaded and (thread is None or thread.depth < ENGAGED * thread.major):
            depth = thread.depth if thread else 0.0
            needed = ENGAGED * (thread.major if thread else group.hole.bores[0].diameter)
            yield Finding(
                "short-thread",
                Severity.ERROR,
                "/plate/thickness",
                f"{decimal_text(thickness, 2)} mm leave {decimal_text(depth, 2)} mm of thread in {group.kind} holes "
                f"under a seat of {decimal_text(seat, 2)} mm; at least {decimal_text(needed, 2)} mm hold a screw",
                "one diameter of engagement, a handbook rule of thumb for steel; softer metal wants more",
            )
        if seat >= thickness:
            yield Finding(
                "no-floor",
                Severity.ERROR,
                "/plate/thickness",
                f"the seat of {group.kind} holes is {decimal_text(seat, 2)} mm deep; the plate is "
                f"{decimal_text(thickness, 2)} mm thick",
                PRACTICE,
            )
