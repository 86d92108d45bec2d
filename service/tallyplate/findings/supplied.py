"""What a customer who supplies the material has to know."""

from collections.abc import Iterator

from tallyplate.findings.finding import PRACTICE, Case, Finding, Severity


def check(case: Case) -> Iterator[Finding]:
    """The size that the blank must have, and who bears it where a plate is spoilt."""
    blank = case.build.blank
    if blank.supplied and not blank.existing:
        size = f"{blank.length:.1f} x {blank.width:.1f} x {blank.thickness:.1f} mm"
        yield Finding(
            "supplied-material",
            Severity.NOTE,
            "/plate/material_supplied",
            f"the customer sends a blank of {size} for each plate, and another for one that is spoilt in the making: "
            "who bears its cost, and that of faults in the metal, is agreed before the order",
            PRACTICE,
        )
