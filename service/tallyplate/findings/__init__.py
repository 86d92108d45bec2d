"""Can it be made, will it fit, can it be lifted: one check a file, each a function from a `Case` to findings."""

from tallyplate.findings import (
    depth,
    finish,
    given_up,
    lifting,
    machine,
    promises,
    slots,
    tolerance,
    walls,
)
from tallyplate.findings.finding import Case, Finding, Severity

__all__ = ["Case", "Finding", "Severity", "findings"]

CHECKS = (
    walls.check,
    depth.check,
    machine.check,
    slots.check,
    tolerance.check,
    finish.check,
    lifting.check,
    promises.check,
    given_up.check,
)


def findings(case: Case) -> tuple[Finding, ...]:
    """What every check says, errors first, then cautions, then notes; within a severity in the order of the checks."""
    found = [finding for check in CHECKS for finding in check(case)]
    return tuple(sorted(found, key=lambda finding: finding.severity.value))
