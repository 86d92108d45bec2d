"""Laws 4, 6 and 7: a higher rate never lowers a price, lines bear a price out, and the same plate costs the same."""

from collections.abc import Iterable, Iterator
from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Context, Decimal
from fractions import Fraction
from typing import Any, Final

from msgspec.structs import replace

from tallyplate import money
from tallyplate.contract import CONTRACT, Charge, CostModule, Line, Stage
from tallyplate.pricing import Modules
from tallyplate.proof.bench import Bench, Tried, priced
from tallyplate.proof.counter_examples import amount, cheaper, plates
from tallyplate.rates.card import RateCard
from tallyplate.rates.walk import changed, figures, shown

A_LITTLE: Final = Fraction(101, 100)
RULES: Final = {money.Rounding.HALF_UP: ROUND_HALF_UP, money.Rounding.HALF_EVEN: ROUND_HALF_EVEN}
POCKET: Final = Context(prec=60)
"""Wide enough for any product of printed figures to be exact."""


def higher_rates(bench: Bench) -> Iterator[str]:
    """Each figure of the rate card raised by a hundredth, for few plates and for more than any step takes."""
    for raised, card in _raised(bench.card):
        for tried in bench.sample:
            higher = bench.under(card, tried.plate, tried.build)
            for quantity in _orders(tried):
                law = "a higher rate must never lower a price"
                yield from cheaper(tried, higher, (quantity, quantity), f"with {raised}", law)


def lines_that_bear_out(bench: Bench) -> Iterator[str]:
    """Lines sum to the total, and each is the product of its printed figures, rounded as the card says."""
    for tried in bench.sample:
        for quantity in _orders(tried):
            order = priced(tried.work, quantity)
            costs = f"{plates(quantity, tried)} {amount(order.total, tried.card)}"
            if sum(line.amount for line in order.lines) != order.total:
                yield f"{costs}, which is not the sum of its lines: lines must sum to the total"
            for line in order.lines:
                which = f"{costs}, of which {line.of.item} ({line.of.module}) {amount(line.amount, tried.card)}"
                if line.amount < 0:
                    yield f"{which}: no line may take money off"
                elif Decimal(line.amount) != _product(line, bench.card):
                    by_hand = f"{money.text(line.quantity, line.of.decimals)} x {line.of.rate.text}"
                    yield f"{which} for {by_hand}: a line must be its quantity times its rate"


def the_same_again(bench: Bench) -> Iterator[str]:
    """Asked once more, beside modules that add nothing."""
    nothing = {f"nothing {stage}": CostModule(contract=CONTRACT, stage=stage, charges=_no_charges) for stage in Stage}
    modules = Modules.of({**bench.modules, **nothing})
    for tried in bench.sample:
        again = bench.under(bench.card, tried.plate, tried.build, modules)
        for quantity in _orders(tried):
            first, second = (priced(one.work, quantity) for one in (tried, again))
            if _said(first.lines) != _said(second.lines):
                costs = f"{amount(first.total, tried.card)} and once more {amount(second.total, tried.card)}"
                yield f"{plates(quantity, tried)} {costs}: the same plate must always cost the same, line by line"


def _orders(tried: Tried) -> tuple[int, int]:
    return tried.few, tried.quantities[-1]


def _raised(card: RateCard) -> Iterator[tuple[str, RateCard]]:
    """The card with each figure raised in turn, but where its own section forbids it; and how that is said."""
    tree = {**card.sections, "work_centers": card.work_centers}
    for path, leaf in figures(tree):
        try:
            higher = changed(tree, path, A_LITTLE)
        except ValueError:  # a later piece dearer than an earlier one, for instance
            continue
        to = next(shown(new) for where, new in figures(higher) if where == path)
        sections = {name: higher[name] for name in card.sections}
        yield (
            f"{path} raised from {shown(leaf)} to {to}",
            replace(card, work_centers=higher["work_centers"], sections=sections),
        )


def _product(line: Line, card: RateCard) -> Decimal:
    """A line's amount in minor units, worked out from its printed text."""
    quantity, rate = Decimal(money.text(line.quantity, line.of.decimals)), Decimal(line.of.rate.text)
    minor = POCKET.scaleb(POCKET.multiply(quantity, rate), card.minor_digits)
    return minor.quantize(Decimal(1), RULES[card.rounding], POCKET)


def _no_charges(*_: Any) -> Iterable[Charge]:  # noqa: ANN401 - whatever a cost module is told
    return ()


def _said(lines: tuple[Line, ...]) -> list[tuple[str, str, int, int]]:
    return [(line.of.module, line.of.item, line.quantity, line.amount) for line in lines]
