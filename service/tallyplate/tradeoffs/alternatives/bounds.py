"""Overhead, margin and the like from below: what modules that see earlier lines add at least, by their amounts.

Such a module is shown lines whose amounts are symbols. If all it does is add them up and take shares, what it charges
is a weighted sum of those amounts, for every combination with the same lines in the same order. If it looks at an
amount it is not followed, and counts as nothing: no charge is negative, so that the bound holds, and is merely loose.
"""

from itertools import count
from typing import Any, Final, cast

from msgspec import Struct

from tallyplate.contract import Build, Charge, CostModule, Item, Line, Rate, Stage
from tallyplate.contract.figures import MONEY
from tallyplate.money import POWERS
from tallyplate.tradeoffs.alternatives.opaque import Looked, Opaque
from tallyplate.tradeoffs.alternatives.pricer import Pricer
from tallyplate.tradeoffs.alternatives.remembered import Remembered

Signature = tuple[tuple[str, ...], ...]
"""For each module that makes, in order, the work centres of its lines."""

ROUNDING: Final = 1.01
"""Minor units by which rounding to the nearest, and binary fractions, may take a line below its exact amount."""

HIDDEN: Final = cast("Any", Opaque())


class Amount(Opaque):
    """A weighted sum of the amounts of lines: sum of weight x amount by the line's place, and a rest.

    One that `floors` is no more than what it stands for, and so may be added but never taken off.
    """

    __slots__ = ("floors", "rest", "weights")

    def __init__(self, weights: dict[int, float], rest: float = 0.0, *, floors: bool = False) -> None:
        super().__init__()
        self.weights, self.rest, self.floors = weights, rest, floors

    def __add__(self, other: Any) -> "Amount":  # noqa: ANN401 - as of any number
        if type(other) is Amount:
            places = {**self.weights, **other.weights}
            weights = {place: self.weights.get(place, 0.0) + other.weights.get(place, 0.0) for place in places}
            return Amount(weights, self.rest + other.rest, floors=self.floors or other.floors)
        return Amount(self.weights, self.rest + _number(other, self), floors=self.floors)

    __radd__ = __add__

    def __mul__(self, other: Any) -> "Amount":  # noqa: ANN401 - as of any number
        times = _number(other, self)
        if times < 0 and self.floors:
            raise Looked(self)
        weights = {place: weight * times for place, weight in self.weights.items()}
        return Amount(weights, self.rest * times, floors=self.floors)

    __rmul__ = __mul__

    def __truediv__(self, other: Any) -> "Amount":  # noqa: ANN401 - as of any number
        return self * (1 / _number(other, self))

    def __neg__(self) -> "Amount":
        return self * -1

    def __sub__(self, other: Any) -> "Amount":  # noqa: ANN401 - as of any number
        return self + cast("Amount", -1 * other)

    def __rsub__(self, other: Any) -> "Amount":  # noqa: ANN401 - as of any number
        return cast("Amount", -self + other)


def _number(value: object, by: Amount) -> float:
    if type(value) is Amount or not isinstance(value, int | float):
        raise Looked(by)
    return float(value)


class Bound(Struct, frozen=True, eq=False):
    """The least that an order comes to: a weight for each line of each module that makes, and a rest; minor units."""

    weights: tuple[tuple[float, ...], ...]
    rest: float


class Bounds:
    """The bound of each kind of order by the lines that it has, found when it is first asked for."""

    def __init__(self, pricer: Pricer) -> None:
        self._pricer = pricer
        in_order = pricer.modules.in_order
        self._makers = [name for name, module in in_order if module.stage is Stage.MAKE]
        self._later = [(name, module) for name, module in in_order if module.stage is not Stage.MAKE]
        self._known: dict[Signature, Remembered[Bound]] = {}

    def of(self, signature: Signature) -> Remembered[Bound]:
        """The bound of orders with some lines, as a function of the build."""
        known = self._known.get(signature)
        if known is None:
            known = self._known[signature] = Remembered(lambda look, build: self._followed(signature, look(build)))
        return known

    def _followed(self, signature: Signature, build: Build) -> Bound:
        places = count()
        lines = [
            _line(name, center, Amount({next(places): 1.0}))
            for name, centers in zip(self._makers, signature, strict=True)
            for center in centers
        ]
        total = sum((cast("Any", line.amount) for line in lines), Amount({}))
        stage, earlier, lost = Stage.MAKE, tuple(lines), False
        for name, module in self._later:
            if module.stage is not stage:
                if lost:
                    break
                stage, earlier = module.stage, tuple(lines)
            added = self._added(name, module, build, earlier)
            lost = lost or added is None
            for line in added or ():
                total += cast("Any", line.amount)
                lines.append(line)
        places = count()
        weights = tuple(tuple(total.weights[next(places)] for _ in centers) for centers in signature)
        return Bound(weights, total.rest)

    def _added(self, name: str, module: CostModule, build: Build, earlier: tuple[Line, ...]) -> list[Line] | None:
        """The lines of a module with the least that they amount to; None where it cannot be followed."""
        rates = self._pricer.card.sections.get(name)
        try:
            charges = module.charges(build, self._pricer.order, self._pricer.shop, rates, earlier)
            return [_line(name, charge.work_center, self._least(charge)) for charge in charges]
        except (Looked, Exception):  # noqa: BLE001 - what a module does with a symbol is no failure of it
            return None

    def _least(self, charge: Charge) -> Amount:
        """The least that a charge amounts to. One that may make several lines is not followed."""
        card = self._pricer.card
        rate = card.work_centers[charge.work_center] if charge.work_center else charge.rate
        if not isinstance(rate, Rate) or charge.at_least or charge.lot:
            raise Looked(charge)
        quantity = self._pricer.order.quantity * cast("Any", charge.per_plate) + charge.per_order
        worth, resolution = rate.coefficient / POWERS[rate.decimals], 1.0
        if rate.unit is not MONEY:
            worth, resolution = worth * POWERS[card.minor_digits], 1 / POWERS[rate.quantity_decimals]
        found = Amount({}) + quantity * worth - (worth * resolution + ROUNDING)
        return Amount(found.weights, found.rest, floors=True)


def _line(name: str, center: str, amount: Amount) -> Line:
    item = Item(name, HIDDEN, HIDDEN, HIDDEN, HIDDEN, center, HIDDEN)
    return Line(item, HIDDEN, cast("Any", amount))
