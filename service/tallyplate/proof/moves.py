"""Figures that move far from one file to the next in date: right by every rule, and yet perhaps a slip of the pen."""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Any, Final

from tallyplate.rates.inherit import Resolved
from tallyplate.rates.lines import Path
from tallyplate.rates.sections import problem
from tallyplate.units import UnitError, exact, length

FAR: Final = Fraction(1, 2)
"""As a share of the old figure."""


def far_moves(files: Sequence[Resolved]) -> Iterator[str]:
    """Each figure that moves by more than `FAR` against the file before; the files stand by date."""
    for old, new in pairwise(files):
        for path, before, after in _in_both(old.data, new.data, ()):
            figures = _figures(before, after)
            if figures and abs(figures[1] - figures[0]) > FAR * figures[0]:
                reason = f"{before} becomes {after}{_percent(*figures)} against {old.origin(path).file}"
                yield problem(new, path, reason)


def _in_both(old: Any, new: Any, path: Path) -> Iterator[tuple[Path, Any, Any]]:  # noqa: ANN401 - trees of anything
    """What both files state at the same key."""
    if isinstance(old, dict) and isinstance(new, dict):
        for key in new:
            if key in old:
                yield from _in_both(old[key], new[key], (*path, key))
    elif isinstance(old, list) and isinstance(new, list):
        for place, (before, after) in enumerate(zip(old, new, strict=False)):
            yield from _in_both(before, after, (*path, str(place)))
    elif path != ("id",):
        yield path, old, new


def _figures(before: object, after: object) -> tuple[Fraction, Fraction] | None:
    """Two figures in one unit; None for what is no figure."""
    if type(before) is int and type(after) is int:
        return Fraction(before), Fraction(after)
    if not isinstance(before, str) or not isinstance(after, str):
        return None
    unit = before.partition(" ")[2]
    try:
        return exact(before, unit), exact(after, unit)
    except UnitError:
        pass
    try:  # a fraction of an inch
        return Fraction(length(before)), Fraction(length(after))
    except UnitError:
        return None


def _percent(before: Fraction, after: Fraction) -> str:
    return f" ({float((after - before) / before * 100):+.0f} %)" if before else ""
