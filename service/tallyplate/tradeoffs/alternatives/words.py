"""An alternative in one sentence: what changes, what is given up and gained by it, and what is saved."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from tallyplate.tradeoffs.alternatives.measures import Measures
from tallyplate.tradeoffs.choices import Value
from tallyplate.units import decimal_text

AS_ASKED = "As asked for: nothing is given up and nothing saved."


class Changed(NamedTuple):
    """A field by its title, what it is and what it would be."""

    title: str
    was: Value | None
    will_be: Value | None


def sentence(changes: Sequence[Changed], before: Measures, after: Measures, saved: str) -> str:
    """One sentence on an alternative; `saved` says what it does to the total."""
    if not changes:
        return AS_ASKED
    what = listed([f"{one.title.lower()} {said(one.will_be)} instead of {said(one.was)}" for one in changes])
    lost, won = listed(list(_lost(before, after))), listed(list(_won(before, after)))
    given = f"gives up {lost}" if lost else "gives up no clamping position, precision or stiffness"
    gained = f" but gains {won}" if won else ""
    return f"{what[0].upper()}{what[1:]}: {given}{gained}; {saved}."


def saving(difference: int, amount: str) -> str:
    """What a difference of the total means; the amount is its size with the currency."""
    if difference == 0:
        return "costs the same"
    return f"saves {amount}" if difference < 0 else f"costs {amount} more"


def _lost(before: Measures, after: Measures) -> Iterator[str]:
    if after.positions < before.positions:
        yield f"{before.positions - after.positions:,} of {before.positions:,} clamping positions"
    if after.tolerance > before.tolerance:
        yield f"{decimal_text(after.tolerance - before.tolerance, 4)} mm of position tolerance"
    if after.stiffness < before.stiffness:
        yield f"{_percent(1 - after.stiffness / before.stiffness)} of the stiffness"


def _won(before: Measures, after: Measures) -> Iterator[str]:
    if after.positions > before.positions:
        yield f"{after.positions - before.positions:,} clamping positions"
    if after.tolerance < before.tolerance:
        yield f"{decimal_text(before.tolerance - after.tolerance, 4)} mm of position tolerance"
    if after.stiffness > before.stiffness:
        yield f"{_percent(after.stiffness / before.stiffness - 1)} more stiffness"


def _percent(share: float) -> str:
    return f"{100 * share:.1f} %" if share >= 0.0005 else "under 0.1 %"  # noqa: PLR2004 - half of the last digit shown


def said(value: Value | None) -> str:
    """A value in words."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return " and ".join(map(str, value)) or "none"
    return "none" if value is None else str(value).replace("_", " ")


def listed(parts: Sequence[str]) -> str:
    """Parts of a sentence one after the other."""
    return ", ".join(parts[:-1]) + (" and " if len(parts) > 1 else "") + parts[-1] if parts else ""
