"""Positions of the pattern that make way for other holes."""

from collections.abc import Iterator

from tallyplate.contract import letters
from tallyplate.findings.finding import PRACTICE, Case, Finding, Severity

NAMED = 12
"""Positions named in the sentence; the rest are counted."""


def check(case: Case) -> Iterator[Finding]:
    """Which grid positions have no hole, by their engraved names."""
    lost = case.build.given_up
    if lost:
        names = ", ".join(f"{letters(column + 1)}{row + 1} ({kind})" for kind, (column, row) in lost[:NAMED])
        more = f" and {len(lost) - NAMED} more" if len(lost) > NAMED else ""
        yield Finding(
            "given-up",
            Severity.NOTE,
            "/plate/pattern",
            f"{len(lost)} grid positions make way for other holes: {names}{more}",
            PRACTICE,
        )
