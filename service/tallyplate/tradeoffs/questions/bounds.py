"""The price over every completion of a request, as a range: bounds, since completions are too many to be priced.

A completion answers every open question with one of its answers, or with any length between the ends of its range. Four
plates are looked for: those that take the least and the most work, and the least and the most purchases. The answers of
one question after the other are tried on a plate and the best is kept, until none leads on; an answer is taken with
the best answers to the questions that it opens or changes, and to the switches beside it.

The lowest total is put together from the least work and the least purchases, for the fewest plates, and the highest
from the most, though no plate has both. Overhead, margin and minimum are worked out on that as always. So every price
lies between where each of the four is found; that two answers together could lead further than each alone is what the
reserve is for. It goes with the questions: with none open nothing is left of it, and the range is the price.

The tests hold that no answer widens a range and that no completion lies outside, on conversations drawn at random.
"""

from collections.abc import Callable, Iterator
from fractions import Fraction
from functools import partial
from typing import Any, Final

from msgspec import Struct
from msgspec.structs import replace

from tallyplate.contract import Charge, Stage
from tallyplate.pricing import Part, Work, price_work
from tallyplate.tradeoffs.questions.opening import Needs, beside, opened, pointers, switch
from tallyplate.tradeoffs.questions.trials import FEWEST, MOST, Bench, Costed, Trial, order

RESERVE: Final = Fraction(1, 500)
"""Share of every charge that is kept in reserve, times the square of the open questions: as many pairs act together."""

UNEVEN: Final = Fraction(2, 100)
"""Share kept in reserve while a size is open: of two sizes the smaller may take a holding screw or a hole more."""

ROUNDS: Final = 3
"""Times that every question is gone through at most, first roughly, then with every answer."""

FEW: Final = 12
"""Open questions up to which every length is tried too; with more, the reserve is larger than what that could find."""

MOST_PLATES: Final = 5000
"""Plates of a family that are tried in search of bounds: some five times what the shipped families take.

A family of so many questions that it takes more gets the range as far as was looked.
"""

PARTS: Final = ("worked", "bought")
"""What the making of an order is parted into, each bounded for itself."""


class Bounds(Struct, frozen=True):
    """The least and the greatest total in minor units."""

    lowest: int
    highest: int


def bounds(bench: Bench, needs: Needs, start: Trial) -> Bounds:
    """The range of a plate with open questions, over orders of the fewest to the most plates."""
    found: dict[tuple[int, str], Costed] = {}
    still_open = 0
    for place, best in ((FEWEST, min), (MOST, max)):
        met = [start]
        for part in PARTS:
            met = list(_climb(bench, needs, met[-1], partial(best, key=partial(_part, bench, place, part))))
            found[place, part] = order(bench, met[-1], place)
            still_open = max(still_open, *(len(pointers(bench, needs, one)) for one in met))
    still_open += len(set(bench.quantities)) - 1
    sizes = any(opened(bench, needs, start, pointer).between for pointer in needs.pointers)
    share = 1 + RESERVE * still_open**2 + UNEVEN * sizes
    lowest, highest = (
        _put_together(found[place, "worked"], found[place, "bought"], reserved, bench, place)
        for place, reserved in ((FEWEST, 1 / share), (MOST, share))
    )
    return Bounds(lowest, highest)


def _part(bench: Bench, place: int, part: str, trial: Trial) -> int:
    amount: int = getattr(order(bench, trial, place), part)
    return amount


def _climb(bench: Bench, needs: Needs, start: Trial, best: Callable[..., Trial]) -> Iterator[Trial]:
    """The plates that are tried on the way to the dearest, or to the cheapest, which is the last.

    First with the ends of what is a length, each answer at its best; then, where few are open, with every answer. Each
    is given, also where it is the usual one, so that it stays when another changes what is usual.
    """
    here = start
    for rough in (True, False) if len(pointers(bench, needs, start)) <= FEW else (True,):
        for _ in range(ROUNDS):
            before, gone_through = here, set[str]()
            while todo := [one for one in pointers(bench, needs, here) if one not in gone_through]:
                if len(bench.tried) > MOST_PLATES:
                    break
                pointer = todo[0]
                gone_through.add(pointer)
                tried = beside(bench, here, opened(bench, needs, here, pointer), ends=rough).values()
                met = [one for one in tried if one.work]
                if rough:
                    met = [_settled(bench, needs, one, here, pointer, best) for one in met]
                yield from met
                here = best([*met, here])
            if here.chosen == before.chosen:
                break
    yield here


def _settled(
    bench: Bench, needs: Needs, trial: Trial, before: Trial, pointer: str, best: Callable[..., Trial]
) -> Trial:
    """A trial with the best answers to what its new answer opens or changes the answers of, and the switches beside it.

    So each answer is taken at its best: a material with the dearest of the finishes that it takes.
    """
    known = pointers(bench, needs, before)
    for other in pointers(bench, needs, trial):
        near = other != pointer and other.rpartition("/")[0] == pointer.rpartition("/")[0]
        one = opened(bench, needs, trial, other)
        others = other not in known or one.answers != opened(bench, needs, before, other).answers
        if others or (near and switch(needs, other)):
            found = beside(bench, trial, one, ends=True)
            trial = best([*(one for one in found.values() if one.work), trial])
    return trial


def _put_together(worked: Costed, bought: Costed, share: Fraction, bench: Bench, place: int) -> int:
    """The total of the work on one plate and the purchases for another, with the reserve, and all that comes on top."""
    parts = [
        _joined(worked, bought, name, float(share)) if module.stage is Stage.MAKE else worked.parts[name]
        for name, module in bench.modules.in_order
    ]
    work = Work((worked.build,), (tuple(parts),), bench.shop, bench.card)
    return price_work(work, bench.order(place)).total


def _joined(worked: Costed, bought: Costed, name: str, share: float) -> Part:
    """What a module said of the work on one plate and of the purchases for another, each quantity times a share.

    One that waits for the order is asked of its own plate.
    """

    def scaled(charge: Any) -> Any:  # noqa: ANN401 - a charge, or one with its rate
        return replace(charge, per_plate=charge.per_plate * share, per_order=charge.per_order * share)

    first, second = worked.parts[name], bought.parts[name]
    if first.ready is not None and second.ready is not None:
        time = [one for one in first.ready if one.item.work_center]
        return replace(
            first, ready=tuple(map(scaled, [*time, *(one for one in second.ready if not one.item.work_center)]))
        )
    ask = first.module.charges

    def charges(_: object, *rest: Any) -> Iterator[Charge]:  # noqa: ANN401 - as the engine gives them
        yield from (scaled(one) for one in ask(worked.build, *rest) if one.work_center)
        yield from (scaled(one) for one in ask(bought.build, *rest) if not one.work_center)

    return replace(first, module=replace(first.module, charges=charges))
