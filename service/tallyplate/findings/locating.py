"""What locates the plate on its machine: more than once the same way is over-constrained."""

from collections.abc import Iterator

from tallyplate.findings.finding import PRACTICE, Case, Finding, Severity
from tallyplate.findings.growth import growth
from tallyplate.units import decimal_text

FULL = ("round_pin", "retractable_pin")
"""Locators that fill their holes all around; a relieved pin gives along the line between two."""

STEP = 1.0
"""Kelvins for which the sentence tells the growth between two pins."""


def check(case: Case) -> Iterator[Finding]:
    """Two pins that both fill their holes, so that the distance between the holes must be right twice.

    Keys together with pins would over-constrain as well; no spec can ask for both.
    """
    build = case.build
    pins = sum(part.count for part in build.hardware if part.kind in FULL)
    apart = [group.layout.spacing for group in build.holes if group.kind == "pin"]
    if pins > 1 and apart:
        each = growth(apart[0], case.shop.materials[build.body.material].expansion, STEP)
        asked = next(group.asked for group in build.holes if group.kind == "pin")
        yield Finding(
            "over-constrained",
            Severity.CAUTION,
            f"{asked}/locate",
            f"{pins} full pins {decimal_text(apart[0], 1)} mm apart: their holes may lie "
            f"{decimal_text(build.position_tolerance, 4)} mm out and move by {decimal_text(each, 4)} mm with each "
            "kelvin that plate and table differ, and the pins' play must take both; one full and one relieved pin do "
            "not mind",
            PRACTICE,
        )
