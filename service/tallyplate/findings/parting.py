"""Cut-outs that part the plate or leave a piece of it loose."""

from collections.abc import Iterator
from itertools import combinations

from tallyplate.contract import Body, Milled
from tallyplate.contract.outlines import between
from tallyplate.findings.features import to_edge
from tallyplate.findings.finding import PRACTICE, Case, Finding, Severity
from tallyplate.units import counted


def check(case: Case) -> Iterator[Finding]:
    """Cuts through the plate that run into each other or over its edge so that they may close around a piece.

    One cut within the plate leaves it whole. A chain of cuts may part it that reaches over two sides, or over a rim
    twice, or that runs into itself; whether it does is not worked out, since such a chain is an error already.
    """
    if not case.build.milled:
        return
    through = [one for one in case.build.milled if one.through]
    met = [
        (first, second)
        for first, second in combinations(range(len(through)), 2)
        if between(through[first].outline, through[second].outline, 0.0) <= 0
    ]
    for chain in _chains(len(through), met):
        members = [through[number] for number in chain]
        joints = sum(first in chain for first, _ in met)
        if _over(members, case.build.body) > 1 or joints >= len(members):
            last = members[-1]
            yield Finding(
                "loose-piece",
                Severity.ERROR,
                last.asked,
                f"{_said(members)} may part the plate or leave a piece loose; accepted: cuts that stay within the "
                "plate and apart from each other",
                PRACTICE,
            )


def _chains(count: int, met: list[tuple[int, int]]) -> Iterator[frozenset[int]]:
    """The cuts that run into each other, directly or through others; a single one is a chain too."""
    chains = [{number} for number in range(count)]
    for first, second in met:
        one, other = (next(chain for chain in chains if number in chain) for number in (first, second))
        if one is not other:
            one |= other
            chains.remove(other)
    yield from map(frozenset, chains)


def _over(members: list[Milled], body: Body) -> int:
    """How many sides a chain reaches over; of a disc, how many of its cuts reach over the rim."""
    if body.disc:
        return sum(to_edge(one.outline, body) <= 0 for one in members)
    boxes = [one.outline.box for one in members]
    return sum(
        (
            min(box[0] for box in boxes) <= 0,
            min(box[1] for box in boxes) <= 0,
            max(box[2] for box in boxes) >= body.length,
            max(box[3] for box in boxes) >= body.width,
        )
    )


def _said(members: list[Milled]) -> str:
    kinds = [one.kind for one in members]
    return ", ".join(counted(kinds.count(kind), kind) for kind in dict.fromkeys(kinds))
