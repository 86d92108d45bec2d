"""Price lists by the piece: one piece more never costs less, over every step of every list of a card."""

from collections.abc import Iterator
from typing import Any

from msgspec import Struct

from tallyplate.contract import PriceBreaks
from tallyplate.money import rescale
from tallyplate.proof.counter_examples import amount
from tallyplate.rates.card import RateCard
from tallyplate.rates.lines import Path
from tallyplate.rates.sections import problem


def falling_lists(card: RateCard) -> Iterator[str]:
    """Each count of a list at which a piece more costs less."""
    for path, prices in _lists(card.sections, ()):
        starts = [step.from_piece for step in prices.breaks]
        for count in sorted({start - before for start in starts for before in (1, 0)}):
            few, many = _cost(prices, count, card), _cost(prices, count + 1, card)
            if many < few:
                costs = f"{count} cost {amount(few, card)} and {count + 1} cost {amount(many, card)}"
                yield problem(card.resolved, path, f"{costs}: more pieces must never cost less")


def _cost(prices: PriceBreaks, count: int, card: RateCard) -> int:
    """What so many pieces cost, each step rounded as its line is."""
    return sum(
        rescale((last - first + 1) * price.coefficient, price.decimals, card.minor_digits, card.rounding)
        for price, first, last in prices.steps(count)
    )


def _lists(node: Any, path: Path) -> Iterator[tuple[Path, PriceBreaks]]:  # noqa: ANN401 - a tree of anything
    if isinstance(node, PriceBreaks):
        yield path, node
        return
    parts = node if isinstance(node, dict) else dict(enumerate(node)) if isinstance(node, tuple) else {}
    if isinstance(node, Struct):
        parts = {name: getattr(node, name) for name in node.__struct_fields__}
    for step, part in parts.items():
        yield from _lists(part, (*path, str(step)))
