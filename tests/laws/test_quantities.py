"""Law 3: more plates never cost less in all, and k times as many never cost more than k times as much.

The unit price may rise only with modules that price whole lots and say so (crates).
"""

from fractions import Fraction

from hypothesis import example, given, settings
from hypothesis import strategies as st

from tallyplate.contract import Line, Rate, Stage
from tallyplate.contract.charges import Break, PriceBreaks
from tallyplate.contract.figures import PerPiece
from tallyplate.pricing import Modules, Priced
from tests.laws.prices import MODULES, cheaper_parts, cost, made, one_blank, priced
from tests.strategies import CARD, FREE, Json, requests

BY_THE_PIECE = Modules.of({name: module for name, module in MODULES.items() if not module.whole_lots})

SHARING = (Stage.OVERHEAD, Stage.MARGIN)


def exactly(rate: Rate) -> Fraction:
    """A rate as a number of the currency's units, or a share as a share."""
    return Fraction(rate.coefficient, 10**rate.decimals)


def half(line: Line) -> Fraction:
    """The most, in minor units, by which rounding can have moved a line's amount.

    Half of the quantity's resolution at the line's rate, and half a minor unit. Pieces and money are counted exactly;
    and a product that has no more decimals than the currency is not rounded.
    """
    moved = Fraction(0)
    item = line.of
    if item.decimals and item.unit != CARD.currency:
        resolution, rate = Fraction(1, 10**item.decimals), exactly(item.rate)
        # The engine takes a quantity within 1e-7 of a tie for a tie.
        moved += (Fraction(1, 2) + Fraction(1, 10**7)) * resolution * rate * 10**CARD.minor_digits
    if item.decimals + item.rate.decimals > CARD.minor_digits:
        moved += Fraction(1, 2)
    return moved


def allowance(*orders: tuple[int, tuple[Line, ...]]) -> Fraction:
    """The most, in minor units, by which rounding can have moved a sum of so many times each order's total.

    What the lines of a stage are out by, the shares of the next stage multiply, each adding its own rounding.
    """
    moved = Fraction(0)
    for stage in Stage:
        rounded = share = Fraction(0)
        for times, lines in orders:
            here = [line for line in lines if MODULES[line.of.module].stage is stage]
            rounded += times * sum(map(half, here), Fraction(0))
            if stage in SHARING:
                share = max(share, sum((exactly(line.of.rate) for line in here), Fraction(0)))
        moved = moved * (1 + share) + rounded
    return moved


def dearer(many: tuple[int, Priced], few: tuple[int, Priced]) -> list[str]:
    """Which modules' making costs more, so many times, than in another order so many times; and `total`.

    By more than rounding can have moved the two sums.
    """
    names = {line.of.module for line in many[1].lines if MODULES[line.of.module].stage is Stage.MAKE}
    parts = {name: [lines_of(order, name) for _, order in (many, few)] for name in sorted(names)}
    parts["total"] = [order.lines for _, order in (many, few)]
    return [
        name
        for name, (more, less) in parts.items()
        if many[0] * amount(more) > few[0] * amount(less) + allowance((many[0], more), (few[0], less))
    ]


def lines_of(order: Priced, module: str) -> tuple[Line, ...]:
    """The lines of one module."""
    return tuple(line for line in order.lines if line.of.module == module)


def amount(lines: tuple[Line, ...]) -> int:
    """What lines come to."""
    return sum(line.amount for line in lines)


FIVE_BUSHINGS: Json = {
    "plate": {
        "family": "rectangular",
        "length": "180 mm",
        "width": "60 mm",
        "material": "al-6061-t6",
        "pattern": {"arrangement": "combination", "screw": "M12", "pitch": "30 mm"},
        "mounting": FREE,
    },
    "quantity": 10,
}
"""Ten reach a price break exactly. Were all pieces charged at the later price, eleven would cost less."""


@settings(max_examples=100)
@given(requests(), st.sampled_from((1, 2, 10, 100)))
@example(FIVE_BUSHINGS, 1)
def test_more_plates_never_cost_less_in_all(request: Json, more: int) -> None:
    build, quantity = made(request["plate"]), request["quantity"]
    assert cost(build, quantity) <= cost(build, quantity + more)
    few, many = (priced(one_blank(build), plates) for plates in (quantity, quantity + more))
    assert not cheaper_parts(many, few)


HAIR_HEAVY: Json = {
    "plate": {
        "family": "rectangular",
        "length": "925.925926626 mm",
        "width": "400 mm",
        "thickness": "40 mm",
        "material": "al-6061-t6",
        "pattern": {"pitch": "200 mm"},
        "mounting": FREE,
    },
    "quantity": 10,
}
"""Ten weigh a third of a milligram more than a crate carries. A slack that does not grow with the order overlooks that,
but not the two thirds by which twenty are too heavy for two crates."""


@settings(max_examples=100)
@given(requests(), st.sampled_from((2, 3, 5, 10, 40)))
@example(HAIR_HEAVY, 2)
def test_k_times_as_many_plates_never_cost_more_than_k_times_as_much(request: Json, k: int) -> None:
    build, quantity = one_blank(made(request["plate"])), request["quantity"]
    assert not dearer((1, priced(build, k * quantity)), (k, priced(build, quantity)))


@settings(max_examples=100)
@given(requests(), st.sampled_from((1, 2, 5, 20, 60)))
def test_the_unit_price_never_rises_but_by_whole_lots(request: Json, more: int) -> None:
    build, fewer = one_blank(made(request["plate"])), request["quantity"]
    few, many = (priced(build, quantity, modules=BY_THE_PIECE) for quantity in (fewer, fewer + more))
    assert not dearer((fewer, many), (fewer + more, few))


@st.composite
def price_breaks(draw: st.DrawFn) -> PriceBreaks:
    """Breaks as a card states them: from the first piece on, at prices that fall."""
    later = draw(st.sets(st.integers(2, 30), max_size=4))
    prices = draw(st.lists(st.integers(0, 2000), min_size=1 + len(later), max_size=1 + len(later)))
    falling = (PerPiece(cents, 2) for cents in sorted(prices, reverse=True))
    return PriceBreaks(tuple(map(Break, (1, *sorted(later)), falling)))


@given(price_breaks(), st.integers(0, 40))
def test_under_price_breaks_each_piece_costs_what_its_own_place_says(breaks: PriceBreaks, count: int) -> None:
    def price_of(piece: int) -> int:
        return [step.price.coefficient for step in breaks.breaks if step.from_piece <= piece][-1]

    charged = sum((last - first + 1) * price.coefficient for price, first, last in breaks.steps(count))
    assert charged == sum(map(price_of, range(1, count + 1)))
