"""Counter-examples in plain words, with all that it takes to see them again."""

from collections import Counter
from collections.abc import Iterator

from tallyplate.pricing import Priced, Work
from tallyplate.proof.bench import Tried, priced
from tallyplate.proof.plates import Json
from tallyplate.rates.card import RateCard


def cheaper(lesser: Tried, greater: Tried, quantities: tuple[int, int], change: str, law: str) -> Iterator[str]:
    """The counter-example where so many of a greater plate cost less than so many of a lesser; `change` leads over."""
    few, many = quantities
    before, after = lesser.total(few), greater.total(many)
    if after < before:
        less = _less_in(lesser.work, priced(lesser.work, few), priced(greater.work, many))
        costs = f"{amount(before, lesser.card)} and {change} {amount(after, lesser.card)}{less}"
        yield f"{plates(few, lesser)} {costs}: {law}"


def plates(quantity: int, tried: Tried) -> str:
    """So many plates, all that was asked of them, and the verb: "25 plates of family rectangular, ... cost"."""
    many = quantity > 1
    return f"{quantity} plate{'s' if many else ''} of {described(tried.plate)} cost{'' if many else 's'}"


def described(asked: Json) -> str:
    """Each answer after its name."""
    return ", ".join(f"{name} {_answer(value)}" for name, value in asked.items())


def _answer(value: object) -> str:
    if isinstance(value, dict):
        return f"({described(value)})"
    return ", ".join(map(_answer, value)) or "none" if isinstance(value, list) else str(value)


def amount(minor: int, card: RateCard) -> str:
    """An amount as people read it: "1,234.50"."""
    digits = card.minor_digits
    whole, rest = divmod(abs(minor), 10**digits)
    return f"{'-' if minor < 0 else ''}{whole:,}" + (f".{rest:0{digits}d}" if digits else "")


def _less_in(work: Work, before: Priced, after: Priced) -> str:
    """Which modules ask for less than before, in brackets: those of the first such stage, which others only follow."""
    change: Counter[str] = Counter()
    for line in after.lines:
        change[line.of.module] += line.amount
    for line in before.lines:
        change[line.of.module] -= line.amount
    fallen = [part for part in work.parts[0] if change[part.name] < 0]
    less = ", ".join(part.name for part in fallen if part.module.stage is fallen[0].module.stage)
    return f" (less in {less})" if less else ""
