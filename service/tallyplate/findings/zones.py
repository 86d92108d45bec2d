"""Zones of a plate: what is engraved where each has letters and numbers of its own."""

from collections.abc import Iterator

from tallyplate.findings.finding import PRACTICE, Case, Finding, Severity


def check(case: Case) -> Iterator[Finding]:
    """Coordinates that begin anew in every zone, so that a name alone does not tell a hole."""
    build = case.build
    if build.zones and any(marks.side.startswith("zone ") for marks in build.marks):
        yield Finding(
            "marked-by-zone",
            Severity.NOTE,
            "/plate/marking",
            f"{len(build.zones)} zones are each engraved along their own edges, from A and from 1; the schedule names "
            "a hole with its zone, such as Z1-A1",
            PRACTICE,
        )
