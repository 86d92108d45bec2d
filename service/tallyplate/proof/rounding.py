"""How much rounding alone can make k times as many plates cost more than k times as much.

Without rounding they never cost more, wherever a quantity is plates x a figure + another (k q a + b <= k (q a + b)),
whole lots (a sum rounded up is at most the sum of its parts rounded up), a price list that falls, or a share of such.
A line's quantity is out by at most half of its resolution, and its amount by that at its rate and half a minor unit
more; on one side once, on the other k times. What one stage's lines are out by, the shares of the next one multiply.
"""

from collections.abc import Iterator
from fractions import Fraction

from tallyplate.contract import Line, Rate, Stage
from tallyplate.contract.figures import MONEY
from tallyplate.pricing import HALF_UP, Part, Priced, Work

NONE = Fraction(0)


def allowance(k: int, few: Priced, many: Priced, work: Work) -> Fraction:
    """The most, in minor units, by which rounding can put the total of `many` above k times that of `few`.

    Both are priced from the one blank of the work.
    """
    (parts,), digits = work.parts, work.card.minor_digits
    stages = {part.name: part.module.stage for part in parts}
    whole = frozenset(name for part in parts for name in _whole(part))
    moved = NONE
    for stage in Stage:
        sides = [[line for line in side.lines if stages[line.of.module] is stage] for side in (few, many)]
        out, out_of_many = (sum((_out(line, whole, digits) for line in side), NONE) for side in sides)
        share = max(sum((_exact(line.of.rate) for line in side if line.of.rate.unit is MONEY), NONE) for side in sides)
        moved = moved * (1 + share) + k * out + out_of_many
    return moved


def _out(line: Line, whole: frozenset[tuple[str, str]], digits: int) -> Fraction:
    """The most, in minor units, by which rounding moved one line."""
    item, out = line.of, NONE
    if (item.module, item.item) not in whole:
        out += Fraction(HALF_UP) * _exact(item.rate) * Fraction(10) ** (digits - item.decimals)
    return out + Fraction(1, 2) if item.decimals + item.rate.decimals > digits else out


def _exact(rate: Rate) -> Fraction:
    return Fraction(rate.coefficient, 10**rate.decimals)


def _whole(part: Part) -> Iterator[tuple[str, str]]:
    """The module and item of charges whose quantities are whole numbers of their resolution, for any order."""
    for ready in part.ready or ():
        quantities = (ready.lot,) if ready.lot else (ready.per_plate, ready.per_order)
        if all(float(quantity * ready.scale).is_integer() for quantity in quantities):
            yield part.name, ready.item.item
