"""The Pareto front within a budget, exact: combinations are priced by the engine in the order of their bounds.

A combination is left out unpriced only where one that is as good in every measure has a price that is not above its
bound. Of combinations alike in price and measures the one with the fewest changes stands for all.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from heapq import heapify, heappop, heappush
from typing import Final, NamedTuple

from msgspec import Struct

from tallyplate.contract import refuse
from tallyplate.tradeoffs.alternatives.candidates import Candidate
from tallyplate.tradeoffs.alternatives.measures import Measures

MOST_PRICED: Final = 50_000
"""Combinations that are priced whole for one request."""

BOUNDED, PRICED = 0, 1


class Entry(NamedTuple):
    """A combination by the least that it costs, or by its price, in minor units. What sorts first is looked at first.

    Of one amount the bounds come first, so that all of that price are known before the best of them is chosen; then
    better plates, then fewer changes.
    """

    amount: float
    state: int
    rank: tuple[float, float, float]
    changed: int
    number: int
    candidate: Candidate
    measures: Measures


class Found(NamedTuple):
    """An alternative: its price in minor units, its measures, and the combination."""

    total: int
    measures: Measures
    candidate: Candidate


class Front(Struct, frozen=True):
    """The alternatives within a budget, the cheapest first; where there are none, the cheapest beyond it, if any.

    `possible` counts the combinations that can be made.
    """

    within: tuple[Found, ...]
    beyond: Found | None
    possible: int


Alike = Mapping[Measures, list[Candidate]]
"""Candidates by their measures, in each list the one with the lowest bound last."""


def front(
    candidates: Iterable[tuple[Measures, Candidate]],
    budget: int,
    price: Callable[[Candidate], int | None],
    changed: Callable[[int], int],
) -> Front:
    """The front of some candidates; `price` is the engine's, `changed` counts the changes of a numbered combination.

    Refuses a search that has to price more than `MOST_PRICED`, as where a module cannot be followed.
    """
    alike: defaultdict[Measures, list[Candidate]] = defaultdict(list)
    for measures, candidate in candidates:
        alike[measures].append(candidate)
    possible = sum(map(len, alike.values()))
    for group in alike.values():
        group.sort(reverse=True)

    within: list[Found] = []
    best: list[Measures] = []

    def beaten(measures: Measures) -> bool:
        return any(one.at_least(measures) for one in best)

    for one in _by_price(alike, price, changed, beaten):
        if one.total > budget:
            return Front(tuple(within), None if within else one, possible)
        within.append(one)
        best = [other for other in best if not one.measures.at_least(other)]
        best.append(one.measures)
    return Front(tuple(within), None, possible)


def _by_price(
    alike: Alike,
    price: Callable[[Candidate], int | None],
    changed: Callable[[int], int],
    beaten: Callable[[Measures], bool],
) -> Iterator[Found]:
    """Those that are not beaten, the cheapest first; each may beat others once it is out."""

    def entry(measures: Measures, candidate: Candidate, amount: float, state: int) -> Entry:
        number = candidate.number
        return Entry(amount, state, measures.rank, changed(number), number, candidate, measures)

    heap = [entry(measures, (least := group.pop()), least.bound, BOUNDED) for measures, group in alike.items()]
    heapify(heap)
    priced = 0
    while heap:
        amount, state, _, _, _, candidate, measures = heappop(heap)
        if beaten(measures):
            continue  # and so are all that are alike, whose bounds are not below this one's
        if state == PRICED:
            yield Found(int(amount), measures, candidate)
            continue
        if group := alike[measures]:
            following = group.pop()
            heappush(heap, entry(measures, following, following.bound, BOUNDED))
        priced += 1
        if priced > MOST_PRICED:
            message = (
                f"more than {MOST_PRICED} combinations have to be priced one by one, as where a cost module's charge "
                "depends on an amount; accepted: fewer values"
            )
            raise refuse("/may_change", message)
        total = price(candidate)
        if total is not None:
            heappush(heap, entry(measures, candidate, total, PRICED))
