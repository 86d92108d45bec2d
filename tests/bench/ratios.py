"""Interleaved timing: every contender runs a little in turn, and the best of its turns counts."""

import time
from collections.abc import Callable, Mapping

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


def row(what: str, ratio: float, aim: str) -> str:
    """One line of the report."""
    return f"{what:<78}{ratio:>8.2f}   {aim}"
