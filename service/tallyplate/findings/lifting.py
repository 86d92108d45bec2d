"""Mass against what one person may lift."""

from collections.abc import Iterator

from tallyplate.findings.finding import Case, Finding, Severity


def check(case: Case) -> Iterator[Finding]:
    """A plate heavier than the load constant, which holds for the best of postures only."""
    mass, limits = case.shop.mass(case.build.body), case.shop.limits
    if mass > limits.one_person_lift:
        yield Finding(
            "heavy",
            Severity.CAUTION,
            "/plate/thickness",
            f"{mass:.1f} kg; one person lifts at most {limits.one_person_lift:.0f} kg in the best of postures. "
            "Use lifting gear, and follow local rules and a competent person's advice",
            limits.source,
        )
