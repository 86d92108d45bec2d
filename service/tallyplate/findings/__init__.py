"""Can it be made, will it fit, can it be lifted, will it disappoint: one check a file."""

from tallyplate.findings import depth, finish, given_up, lifting, machine, promises, slots, tolerance, walls
from tallyplate.findings.finding import Case, Finding, Offer, Severity

__all__ = ["Case", "Finding", "Offer", "Severity", "in_order", "of_offer", "of_plate"]

CHECKS = (
    walls.check,
    depth.check,
    machine.check,
    slots.check,
    tolerance.check,
    finish.check,
    lifting.check,
    given_up.check,
)
"""Each looks at a plate, and at no order."""


def of_plate(case: Case) -> tuple[Finding, ...]:
    """What every check says of a plate."""
    return tuple(finding for check in CHECKS for finding in check(case))


def of_offer(offer: Offer) -> tuple[Finding, ...]:
    """What is to be said of an order besides its plate."""
    return tuple(promises.check(offer))


def in_order(found: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Errors first, then cautions, then notes; within a severity in the order of the checks."""
    return tuple(finding for severity in Severity for finding in found if finding.severity is severity)
