"""What has to be known of a plate that exists before it is reworked."""

from collections.abc import Iterator

from tallyplate.findings.finding import PRACTICE, Case, Finding, Severity


def check(case: Case) -> Iterator[Finding]:
    """A rework of nothing; and what nobody here can check, which is where the old holes lie."""
    build = case.build
    if not build.blank.existing:
        return
    if not build.holes and not build.replaced:
        yield Finding(
            "nothing-to-rework",
            Severity.CAUTION,
            "/plate",
            "no hole is to be added and no bushing replaced: the price is for looking it over; state pattern, holes or "
            "bushings",
            PRACTICE,
        )
    if build.holes:
        yield Finding(
            "old-holes",
            Severity.CAUTION,
            build.holes[0].asked,
            "new holes are checked against each other and the edges; nothing is known here of the holes that the plate "
            "has, which must keep clear of them: send its drawing with the order",
            PRACTICE,
        )
