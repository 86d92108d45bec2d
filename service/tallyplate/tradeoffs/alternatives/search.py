"""Searching all combinations of what may change: from variables to the front."""

from collections.abc import Mapping
from typing import Any

from tallyplate.tradeoffs.alternatives.candidates import Candidate, Candidates
from tallyplate.tradeoffs.alternatives.front import Front, front
from tallyplate.tradeoffs.alternatives.opaque import Looked
from tallyplate.tradeoffs.alternatives.plates import Plates
from tallyplate.tradeoffs.alternatives.pricer import Pricer
from tallyplate.tradeoffs.alternatives.remembered import Remembered
from tallyplate.tradeoffs.alternatives.variables import Variable, options


def search(request: Mapping[str, Any], variables: tuple[Variable, ...], pricer: Pricer, budget: int) -> Front:
    """The front of a request whose variables may change, within a budget in minor units.

    Raises `PluginFailure`, and `Refusal` where too many combinations would have to be priced one by one.
    """
    candidates, total = Candidates(pricer), Remembered(pricer.total)

    def price(candidate: Candidate) -> int | None:
        return total(candidate.build)

    def changed(number: int) -> int:
        return sum(map(bool, options(number, variables)))

    every = (found for plate in Plates(request, variables, pricer) for found in candidates.of(plate))
    try:
        return front(every, budget, price, changed)
    except Looked as looked:
        # Each is met where it may come; one that came elsewhere must not pass for the end of the program.
        message = "an opaque value has come where it was looked at"
        raise RuntimeError(message) from looked
