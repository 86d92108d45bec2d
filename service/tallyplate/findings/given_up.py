"""Positions of the pattern that make way for other holes."""

from collections.abc import Iterator

from tallyplate.contract import letters
from tallyplate.findings.finding import PRACTICE, Case, Finding, Severity
from tallyplate.units import counted

NAMED = 12
"""Positions named in the sentence; the rest are counted."""


def check(case: Case) -> Iterator[Finding]:
    """Which grid positions have no hole, by their engraved names."""
    lost = case.build.given_up
    if lost:
        names = ", ".join(f"{letters(column + 1)}{row + 1} ({kind})" for kind, (column, row) in lost[:NAMED])
        what = "features and other holes" if case.build.cleared else "other holes"
        more = f" and {len(lost) - NAMED} more" if len(lost) > NAMED else ""
        yield Finding(
            "given-up",
            Severity.NOTE,
            "/plate/zones" if case.build.zones else "/plate/pattern",
            f"{counted(len(lost), 'grid position makes', 'grid positions make')} way for {what}: {names}{more}",
            PRACTICE,
        )
