"""Several kinds of plates priced as one order: what they share is counted once, everything else as ever.

Each module is asked of each kind as if it were ordered alone, so that no module knows of sets. Like charges of the
kinds then become lines of the whole order where they are graduated, go by whole lots, or are `common`; a minimum is
held against what the kinds come to together. Modules of later stages see the lines of the whole order, and a share of
money, which is a share of those, is taken once.

A kind is cut from the blank that it would be cut from alone, a minimum order left out of account: so the choice does
not hang on the rest of the order, and a plate more never lowers a price by it.
"""

from collections import Counter
from collections.abc import Hashable, Iterator, Sequence
from itertools import chain
from math import fsum

from msgspec import Struct
from msgspec.structs import replace

from tallyplate import money
from tallyplate.charging import Ready, lines_of, ready_charges, shortfall
from tallyplate.contract import Build, Line, Order, Stage
from tallyplate.contract.figures import MONEY
from tallyplate.contract.services import NO_SERVICES
from tallyplate.pricing import Part, Priced, Work, on_each_blank
from tallyplate.rates.card import RateCard

FINE = 10**6
"""Parts of a unit by which kinds of plates bear a line that they share."""


class Kind(Struct, frozen=True):
    """Like plates of a set: what one takes, and an order of all of them."""

    work: Work
    order: Order


class SetLine(Struct, frozen=True, gc=False):
    """A line, the kinds that it is of by their places, and what each of them bears of it, in minor units."""

    line: Line
    kinds: tuple[int, ...]
    borne: tuple[int, ...]


class SetPriced(Struct, frozen=True):
    """A set priced whole: every line, the total in minor units, and each kind's build on the blank chosen."""

    lines: tuple[SetLine, ...]
    total: int
    builds: tuple[Build, ...]

    def borne(self) -> list[int]:
        """What each kind bears of the total, in minor units."""
        return _borne(self.lines, len(self.builds))


Pool = list[tuple[int, Ready]]
"""Like charges of several kinds, each with its kind's place."""


def price_kinds(kinds: Sequence[Kind]) -> SetPriced:
    """Price kinds of plates as one order; one kind alone is priced as ever. Raises `PluginFailure` and `Refusal`."""
    blanks = [_blank(kind, alone=len(kinds) == 1) for kind in kinds]
    builds = tuple(kind.work.builds[blank] for kind, blank in zip(kinds, blanks, strict=True))
    lines: list[SetLine] = []
    earlier: tuple[Line, ...] = ()
    stage, card = Stage.MAKE, kinds[0].work.card
    plain = kinds[0].order.services is NO_SERVICES
    for parts in zip(*(kind.work.parts[blank] for kind, blank in zip(kinds, blanks, strict=True)), strict=True):
        if plain and parts[0].on_request:
            continue
        if parts[0].module.stage is not stage:
            stage, earlier = parts[0].module.stage, tuple([one.line for one in lines])
        said = [_said(*one, earlier) for one in zip(parts, kinds, builds, strict=True)]
        so_far = [] if stage is Stage.MAKE else _borne(lines, len(kinds))
        for pool in _pools(said, late=stage is not Stage.MAKE):
            lines += _pooled(pool, kinds, card, so_far)
    return SetPriced(tuple(lines), sum(one.line.amount for one in lines), builds)


def _blank(kind: Kind, *, alone: bool) -> int:
    """The place of the blank that a kind is cut from; the first of those that cost the same."""
    if len(kind.work.builds) == 1:
        return 0
    stages = {part.name: part.module.stage for part in kind.work.parts[0]}

    def cost(priced: Priced) -> int:
        filled = 0 if alone else sum(ln.amount for ln in priced.lines if stages[ln.of.module] is Stage.ORDER)
        return priced.total - filled

    costs = [cost(priced) for priced in on_each_blank(kind.work, kind.order)]
    return costs.index(min(costs))


def _said(part: Part, kind: Kind, build: Build, earlier: tuple[Line, ...]) -> tuple[Ready, ...]:
    """What a module charges for a kind, remembered or asked."""
    if part.ready is not None:
        return part.ready
    return ready_charges(part.name, part.module, build, kind.order, kind.work.shop, kind.work.card, earlier)


def _pools(said: Sequence[tuple[Ready, ...]], *, late: bool) -> Iterator[Pool]:
    """The charges of one module, like ones together; the second alike of a kind goes with the second of another."""
    pools: dict[Hashable, Pool] = {}
    for kind, charges in enumerate(said):
        turns: Counter[Hashable] = Counter()
        for one in charges:
            ready = replace(one, common=True) if late and one.item.rate.unit is MONEY else one
            shared = ready.breaks is not None or ready.lot or ready.at_least or ready.common
            of, lot, least = ready.item, ready.lot, ready.at_least
            like = (of.item, of.rate, ready.breaks, of.work_center, lot, least, ready.common, None if shared else kind)
            pools.setdefault((like, turns[like]), []).append((kind, ready))
            turns[like] += 1
    return iter(pools.values())


def _pooled(pool: Pool, kinds: Sequence[Kind], card: RateCard, so_far: list[int]) -> Iterator[SetLine]:
    """The lines of like charges; `so_far` is what each kind bears of earlier stages, by which it bears shares."""
    first = pool[0][1]
    places = tuple([kind for kind, _ in pool])
    counts = [kinds[kind].order.quantity for kind in places]
    if len(pool) == 1:
        for line in lines_of((first,), counts[0], card):
            yield SetLine(line, places, (line.amount,))
    elif first.breaks or first.lot or first.common:
        taken = [one.per_plate * plates + one.per_order for (_, one), plates in zip(pool, counts, strict=True)]
        by_earlier = first.item.rate.unit is MONEY and so_far
        weights = [so_far[kind] for kind in places] if by_earlier else [int(some * FINE) for some in taken]
        for line in lines_of((_together(pool, counts),), 1, card):
            yield SetLine(line, places, tuple(money.spread(line.amount, weights)))
    else:
        own = [
            SetLine(line, (kind,), (line.amount,))
            for (kind, one), plates in zip(pool, counts, strict=True)
            for line in lines_of((replace(one, at_least=0),), plates, card)
        ]
        yield from own
        amounts = [one.line.amount for one in own]
        missing = first.at_least - sum(amounts)
        if missing > 0:
            yield SetLine(shortfall(first.item, missing, card), places, tuple(money.spread(missing, amounts)))


def _together(pool: Pool, counts: Sequence[int]) -> Ready:
    """Like charges as one, for the whole order. Sums are exact, so that the order of the plates does not matter."""
    most = max((one for _, one in pool), key=lambda one: (one.per_order, one.item.basis))
    bases = {one.item.basis for _, one in pool}
    basis = most.item.basis if most.common or len(bases) == 1 else f"counted over {len(pool)} kinds of plates"
    return replace(
        most,
        item=replace(most.item, basis=basis),
        per_plate=fsum(one.per_plate * plates for (_, one), plates in zip(pool, counts, strict=True)),
        per_order=most.per_order if most.common else fsum(one.per_order for _, one in pool),
    )


def _borne(lines: Sequence[SetLine], kinds: int) -> list[int]:
    borne = [0] * kinds
    for kind, amount in chain.from_iterable(zip(one.kinds, one.borne, strict=True) for one in lines):
        borne[kind] += amount
    return borne
