"""Interleaved timing: every contender runs a little in turn, and the best of its turns counts."""

import time
from collections.abc import Callable, Mapping
from typing import NamedTuple

ROUNDS, CALLS = 60, 20


def fastest(
    contenders: Mapping[str, Callable[[], object]], rounds: int = ROUNDS, calls: int = CALLS
) -> dict[str, float]:
    """Seconds a call of each contender: the best mean of its turns, so that a busy moment hurts nobody."""
    best = dict.fromkeys(contenders, float("inf"))
    for _ in range(rounds):
        for name, call in contenders.items():
            started = time.perf_counter()
            for _ in range(calls):
                call()
            best[name] = min(best[name], (time.perf_counter() - started) / calls)
    return best


class Row(NamedTuple):
    """One line of the report."""

    what: str
    ratio: float
    aim: str

    def __str__(self) -> str:
        return f"{self.what:<78}{self.ratio:>8.2f}   {self.aim}"


Said = Row | str
"""What a report says: ratios, and sentences about them."""


def row(what: str, ratio: float, aim: str) -> Row:
    """One line of the report."""
    return Row(what, ratio, aim)
