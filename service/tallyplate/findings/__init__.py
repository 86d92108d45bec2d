"""Can it be made, will it fit, can it be lifted, will it disappoint: one check a file."""

from tallyplate.findings import (
    across,
    depth,
    engraved,
    existing,
    features,
    finish,
    floors,
    given_up,
    growth,
    handles,
    holding,
    lifting,
    locating,
    machine,
    parting,
    promises,
    rows,
    seats,
    slots,
    supplied,
    threads,
    tolerance,
    walls,
    zones,
)
from tallyplate.findings.finding import Case, Change, Finding, Mend, Offer, Severity

__all__ = ["Case", "Change", "Finding", "Mend", "Offer", "Severity", "in_order", "of_offer", "of_plate"]

CHECKS = (
    walls.check,
    features.check,
    floors.check,
    parting.check,
    across.check,
    depth.check,
    threads.check,
    machine.check,
    slots.check,
    holding.check,
    locating.check,
    seats.check,
    tolerance.check,
    growth.check,
    finish.check,
    engraved.check,
    supplied.check,
    existing.check,
    lifting.check,
    handles.check,
    given_up.check,
    rows.check,
    zones.check,
)
"""Each looks at a plate, and at no order."""


def of_plate(case: Case) -> tuple[Finding, ...]:
    """What every check says of a plate; what is alike on several faces is said once."""
    return tuple(dict.fromkeys([finding for check in CHECKS for finding in check(case)]))


def of_offer(offer: Offer) -> tuple[Finding, ...]:
    """What is to be said of an order besides its plate."""
    return tuple(promises.check(offer))


def in_order(found: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Errors first, then cautions, then notes; within a severity in the order of the checks."""
    return tuple([finding for severity in Severity for finding in found if finding.severity is severity])
