"""Every contender on the same requests: equal totals first, then times, in one interleaved run."""

import time
import warnings
from collections.abc import Iterator
from contextlib import ExitStack
from itertools import cycle
from typing import Final

import msgspec

from tests.bench.peers.contenders import CONTENDERS
from tests.bench.peers.model import Contender, requests
from tests.bench.peers.office import office
from tests.bench.ratios import Said, fastest, row

OURS: Final = "our engine"
OFFICE: Final = "a general-purpose office engine (libreoffice)"
PLATES: Final = 40
SECONDS: Final = 0.02
"""A turn of a contender lasts about so long, however slow it is."""


def report() -> Iterator[Said]:
    """Times of the others as multiples of ours. Raises `AssertionError` where they do not come to the same."""
    bodies = list(requests(PLATES))
    ready: dict[str, Contender] = {}
    for name, make in CONTENDERS.items():
        try:
            with warnings.catch_warnings():
                # Of others' code, as it is compiled for the first time.
                warnings.simplefilter("ignore")
                ready[name] = make()
        except ModuleNotFoundError as absent:
            yield f"fifteen lines by {name}: absent ({absent.name} is not installed)"
    with ExitStack() as stack:
        try:
            ready[OFFICE] = stack.enter_context(office())
        except ModuleNotFoundError as absent:
            yield f"fifteen lines by {OFFICE}: absent ({absent.name} is not installed)"
        for body in bodies:
            agree(body, ready)
        yield from _raced(bodies, ready)


def _raced(bodies: list[bytes], ready: dict[str, Contender]) -> Iterator[Said]:
    best = {name: float("inf") for name in ready}
    calls = {name: max(1, round(SECONDS / _once(one, bodies[0]))) for name, one in ready.items()}
    for _ in range(20):
        for name, one in ready.items():
            following = cycle(bodies)
            turn = fastest({name: lambda: _served(one, next(following))}, rounds=1, calls=calls[name])  # noqa: B023
            best[name] = min(best[name], turn[name])
    yield f"fifteen lines, JSON to JSON, by our engine: {best[OURS] * 1e6:.0f} us"
    for name in ready:
        if name != OURS:
            yield row(f"  by {name} / by our engine", best[name] / best[OURS], "")


def agree(body: bytes, ready: dict[str, Contender]) -> None:
    """Every line and the total of every contender are ours."""
    wanted = ready[OURS](body)
    for name, contender in ready.items():
        lines, total = contender(body)
        assert round(total, 2) == wanted[1], (name, body, total, wanted[1])
        assert {line: round(amount, 2) for line, amount in lines.items()} == wanted[0], (name, body)


def _served(contender: Contender, body: bytes) -> bytes:
    return msgspec.json.encode(contender(body))


def _once(contender: Contender, body: bytes) -> float:
    started = time.perf_counter()
    _served(contender, body)
    return time.perf_counter() - started
