"""Law 3: more plates never cost less, and k times as many never cost more than k times as much."""

from collections.abc import Iterator
from itertools import pairwise
from typing import Final

from msgspec.structs import replace

from tallyplate.proof.bench import Bench, Tried, priced
from tallyplate.proof.counter_examples import amount, cheaper, plates
from tallyplate.proof.rounding import allowance

TIMES: Final = (2, 3, 5)


def more_plates(bench: Bench) -> Iterator[str]:
    """From each quantity to the next."""
    for tried in bench.sample:
        for few, many in pairwise(tried.quantities):
            yield from cheaper(tried, tried, (few, many), f"{many} cost", "more plates must never cost less")


def times_as_many(bench: Bench) -> Iterator[str]:
    """From each blank by itself: what holds for each, holds for the cheapest."""
    for tried in bench.sample:
        for build, parts in zip(tried.work.builds, tried.work.parts, strict=True):
            alone = Tried(tried.plate, build, replace(tried.work, builds=(build,), parts=(parts,)))
            for many in alone.quantities:
                for k in TIMES:
                    if not many % k:
                        yield from _dearer(alone, k, many // k, many)


def _dearer(tried: Tried, k: int, few: int, many: int) -> Iterator[str]:
    more = tried.total(many) - k * tried.total(few)
    if more > 0 and more > allowance(k, priced(tried.work, few), priced(tried.work, many), tried.work):
        costs = f"{amount(tried.total(few), tried.card)} and {many} cost {amount(tried.total(many), tried.card)}"
        law = f"{k} times as many must never cost more than {k} times as much"
        yield f"{plates(few, tried)} {costs}: {law}"
