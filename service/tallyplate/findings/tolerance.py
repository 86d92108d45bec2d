"""Position tolerance against what the machine is trusted with."""

from collections.abc import Iterator

from tallyplate.findings.finding import Case, Finding, Severity
from tallyplate.units import decimal_text, unlike


def check(case: Case) -> Iterator[Finding]:
    """A tolerance tighter than the machine holds."""
    asked, held = case.build.position_tolerance, case.shop.machine.holds
    if asked < held:
        yield Finding(
            "too-tight",
            Severity.ERROR,
            "/plate/position_tolerance",
            f"{unlike(asked, held, 4)} mm asked; the machine is trusted with {decimal_text(held, 4)} mm",
            f"machine of shop data {case.shop.id}",
        )
