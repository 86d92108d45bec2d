"""Laws 1 and 2: a plate that has more, or is tighter, never costs less.

Growth and coarser patterns are tried on flat plates that nothing holds: a mounting that moves takes or frees holes of
the pattern. Thickness is not tried: of two plates from one stock thickness the thinner has more to mill away.
"""

from collections.abc import Iterator
from itertools import pairwise
from typing import Final

from tallyplate.contract import Marking
from tallyplate.proof.bench import Bench, Tried
from tallyplate.proof.counter_examples import cheaper, described
from tallyplate.proof.plates import FREE, Json, coarser, larger, marked, tolerances
from tallyplate.proof.specs import asks, flat

MANY: Final = 10


def larger_plates(bench: Bench) -> Iterator[str]:
    """Longer and wider, over every length that the shop data state."""
    for plate in _free(bench):
        for side in ("length", "width"):
            chain = [plate | {side: size} for size in larger(plate[side], plate["material"], bench.shop)]
            yield from _never_cheaper(bench, chain, side, "a larger plate must never cost less")


def tighter_plates(bench: Bench) -> Iterator[str]:
    """Over every limit that the shop data state."""
    for tried in bench.sample:
        for name in ("position_tolerance", "flatness"):
            chain = [tried.plate | {name: limit} for limit in tolerances(bench.shop)]
            yield from _never_cheaper(bench, chain, name, "a tighter plate must never cost less")


def marked_plates(bench: Bench) -> Iterator[str]:
    """From no marked edge to all."""
    for tried in bench.sample:
        if asks(bench.families[tried.plate["family"]].spec, "marking", Marking):
            chain = list(marked(tried.plate))
            yield from _never_cheaper(bench, chain, "marking", "more marked edges must never cost less")


def plates_with_more_holes(bench: Bench) -> Iterator[str]:
    """A pitch times an integer leaves some of the holes; an odd one where kinds take turns, so that each stays."""
    for plate in _free(bench):
        for times in (3,) if plate["pattern"]["arrangement"] == "alternating" else (2, 3):
            chain = [coarser(plate, times), plate]
            yield from _never_cheaper(bench, chain, "pattern", "more holes in the same plate must never cost less")


def _free(bench: Bench) -> Iterator[Json]:
    for tried in bench.sample:
        if flat(bench.families[tried.plate["family"]].spec):
            yield tried.plate | {"mounting": FREE}


def _never_cheaper(bench: Bench, chain: list[Json], changed: str, law: str) -> Iterator[str]:
    """Each plate of a chain against the one before it, but those that are refused."""
    tried: list[Tried] = [one for plate in chain if (one := bench.tried(plate))]
    for lesser, greater in pairwise(tried):
        for quantity in (lesser.few, MANY * lesser.few):
            change = f"with {described({changed: greater.plate[changed]})}"
            yield from cheaper(lesser, greater, (quantity, quantity), change, law)
