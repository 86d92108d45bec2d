"""Handles against the mass of the plate."""

from collections.abc import Iterator

from tallyplate.findings.finding import Case, Finding, Severity
from tallyplate.findings.lifting import CAUTION
from tallyplate.units import decimal_text


def check(case: Case) -> Iterator[Finding]:
    """A plate heavier than its handles are rated for."""
    for part in case.build.accessories:
        mass = case.shop.mass(case.build.body)
        screw = case.shop.screws.get(part.size)
        handle = screw.handle if screw else None
        if part.kind == "handle" and handle and mass > part.count * handle.rated:
            yield Finding(
                "handles-rating",
                Severity.CAUTION,
                "/plate/handles",
                f"{mass:.1f} kg on {part.count} handles rated for {decimal_text(handle.rated, 1)} kg each. Lift by "
                f"other gear, and {CAUTION}",
                handle.source,
            )
