"""Mends: candidates tried on the plate as it was asked for, until one removes its finding and adds no error.

Trying means building the changed plate and checking it, so that a plate without findings pays nothing.
"""

from collections.abc import Callable, Iterator, Mapping
from itertools import islice
from math import ceil, floor
from typing import Any, Final

from msgspec.structs import replace

from tallyplate import pointers
from tallyplate.findings import Case, Change, Finding, Mend, Severity
from tallyplate.findings.finding import Value
from tallyplate.findings.mends import PROPOSALS, AtLeast, AtMost, Wanted
from tallyplate.units import decimal_text

MOST_TRIES: Final = 12
"""Candidates tried for one finding."""

STEPS: Final = {"mm": (1.0, 0.5, 0.001), "in": (25.4, 0.02, 0.0001)}
"""For lengths in each unit: mm in it, and the steps to which sizes and tolerances are rounded."""

COARSE: Final = 5.0
"""Millimetres from which a length is a size rather than a tolerance."""

GUARD: Final = 1e-6
"""Steps by which a length may miss a whole one for the sake of binary fractions."""

Trying = Callable[[dict[str, Any]], tuple[Finding, ...] | None]
"""What the checks say of a plate as JSON; None where it is refused."""

FEATURES: Final = "/plate/features/"
"""What a customer placed is the customer's to move: no mend of a plate does that."""


def mended(found: tuple[Finding, ...], asked: Mapping[str, Any], case: Case, trying: Trying) -> tuple[Finding, ...]:
    """The findings of a plate, each with its mend where one was found."""
    mends: dict[tuple[str, str], Mend | None] = {}
    tried: dict[tuple[Change, ...], tuple[Finding, ...] | None] = {}

    def after(changes: tuple[Change, ...]) -> tuple[Finding, ...] | None:
        if changes not in tried:
            tried[changes] = trying(applied({"plate": asked}, changes)["plate"])
        return tried[changes]

    for finding in found:
        if finding.code in PROPOSALS and finding.key not in mends and not finding.pointer.startswith(FEATURES):
            mends[finding.key] = _mend(finding, found, _candidates(finding, asked, case), after)
    if not any(mends.values()):
        return found
    return tuple([replace(one, mend=mend) if (mend := mends.get(one.key)) is not None else one for one in found])


def _mend(
    finding: Finding, found: tuple[Finding, ...], candidates: Iterator[Mend], after: Callable[..., Any]
) -> Mend | None:
    """The first candidate that adds neither error nor caution; for an error, or else the first that adds no error."""
    second: Mend | None = None
    before = {other.key for other in found}
    for mend in islice(candidates, MOST_TRIES):
        then = after(mend.changes)
        if then is None or any(other.key == finding.key for other in then):
            continue
        added = {other.severity for other in then if other.key not in before}
        if Severity.ERROR in added:
            continue
        if Severity.CAUTION not in added:
            return mend
        second = second or mend
    return second if finding.severity is Severity.ERROR else None


def _candidates(finding: Finding, asked: Mapping[str, Any], case: Case) -> Iterator[Mend]:
    """What is proposed, in the caller's unit and without what the plate has no place for."""
    for proposal in PROPOSALS[finding.code](case, finding):
        unit = "in" if _in_inches(asked) else "mm"
        values = [written(value, unit) for _, value in proposal.changes]
        changes = tuple(
            Change(pointer, value)
            for (pointer, _), value in zip(proposal.changes, values, strict=True)
            if value is not None or not reached({"plate": asked}, pointer)[1]
        )
        if changes and all(_fits(asked, change.pointer) for change in changes):
            yield Mend(changes, proposal.words.format(*values))


def _in_inches(asked: Mapping[str, Any]) -> bool:
    """Whether the lengths of a plate are given in inches or feet, most of them."""
    lengths = [value for value in asked.values() if isinstance(value, str) and value[:1].isdigit()]
    return 2 * sum(value.endswith(("in", "ft")) for value in lengths) > len(lengths)


def _fits(asked: Mapping[str, Any], pointer: str) -> bool:
    """Whether a field stands at a pointer, or an object on its way that it can be put into."""
    place, missing = reached({"plate": asked}, pointer)
    return not missing or isinstance(place, Mapping)


def reached(request: Any, pointer: str) -> tuple[Any, list[str]]:  # noqa: ANN401 - JSON
    """The last value on the way of a pointer (RFC 6901), and the steps that nothing stands at."""
    place, steps = request, pointers.steps(pointer)
    while steps:
        step = steps[0]
        if isinstance(place, Mapping) and step in place:
            place = place[step]
        elif isinstance(place, list) and step.isdigit() and int(step) < len(place):
            place = place[int(step)]
        else:
            break
        steps = steps[1:]
    return place, steps


def written(wanted: Wanted, unit: str) -> Value:
    """A value as it stands in a request: a length as text, rounded the way that keeps it on the safe side."""
    if not isinstance(wanted, AtLeast | AtMost):
        return wanted
    each, coarse, fine = STEPS[unit]
    step = coarse if wanted.mm >= COARSE else fine
    steps = wanted.mm / each / step
    whole = ceil(steps - GUARD) if isinstance(wanted, AtLeast) else floor(steps + GUARD)
    return f"{decimal_text(whole * step, 4)} {unit}"


def applied(request: Mapping[str, Any], changes: tuple[Change, ...]) -> dict[str, Any]:
    """A copy of a request with the changes of a mend made."""
    return pointers.applied(request, {change.pointer: change.value for change in changes})
