"""What a field may be instead, where a caller names it and no values: from the shop's data, or by simple steps."""

from collections.abc import Callable, Iterable, Iterator
from fractions import Fraction
from itertools import islice
from typing import Final

from tallyplate.contract import Refusal
from tallyplate.lattice import GUARD
from tallyplate.tradeoffs import steps
from tallyplate.tradeoffs.choices import Choice, Value
from tallyplate.tradeoffs.neighbours import by_type, left_by_stock, neighbours
from tallyplate.tradeoffs.start import Start
from tallyplate.units import Length, length

MOST_LENGTHS: Final = 8
"""Lengths that are tried instead of one."""

TIGHTER, LOOSER = 2, 3
"""Usual tolerances that are tried to either side of one."""


def own_values(choice: Choice, start: Start) -> tuple[Value, ...]:
    """The values of a choice, its present one perhaps among them; none where it is no choice of anybody's."""
    find = BY_NAME.get(choice.name)
    if find and isinstance(choice.value, str):
        return tuple(find(choice.value, start))
    found = tuple(neighbour.value for neighbour in neighbours(choice, start.plate, start.shop))
    if by_type(choice) is None:
        return found
    # Such as an arrangement that the family does not have.
    return tuple(value for value in found if not isinstance(start.changed({choice.pointer: value}), Refusal))


def _materials(_: str, start: Start) -> Iterable[Value]:
    return start.shop.materials


def _finishes(_: str, start: Start) -> Iterable[Value]:
    """All there are: which of them a material takes is found by the checks."""
    return start.shop.finishes


def _thicknesses(value: str, start: Start) -> Iterator[Value]:
    """What stock of any material leaves, the nearest first."""
    asked = length(value)
    left = {mm for material in start.shop.materials for mm in left_by_stock(value, {"material": material}, start.shop)}
    yield from _lengths(value, sorted(left, key=lambda mm: (abs(float(mm) - asked), mm)))


def _pitches(value: str, _: Start) -> Iterator[Value]:
    pitch = length(value)
    yield from _lengths(value, steps.around(pitch, steps.PITCH[steps.manner(value).system], MOST_LENGTHS))


def _positions(value: str, start: Start) -> Iterator[Value]:
    """Usual tolerances that the machine is trusted with."""
    yield from _tolerances(value, float(start.shop.machine.holds))


def _flatnesses(value: str, _: Start) -> Iterator[Value]:
    yield from _tolerances(value, 0.0)


def _tolerances(value: str, least: float) -> Iterator[Value]:
    unit = steps.TOLERANCE[steps.manner(value).system]
    found: list[Fraction] = []
    for side, many in ((0, TIGHTER), (1, LOOSER)):
        mm: float | Fraction = length(value)
        for _ in range(many):
            mm = steps.rounder(float(mm), unit)[side]
            if mm > 0 and mm >= least * (1 - GUARD):
                found.append(mm)
            else:
                break
    yield from _lengths(value, found)


def _lengths(value: str, found: Iterable[Fraction]) -> Iterator[Value]:
    """Lengths as the caller writes them, without the present one."""
    manner, present = steps.manner(value), length(value)
    texts = (manner.text(mm) for mm in found)
    yield from islice((text for text in texts if text and not _same(length(text), present)), MOST_LENGTHS)


def _same(one: Length, other: Length) -> bool:
    return abs(one - other) <= GUARD * other


BY_NAME: Final[dict[str, Callable[[str, Start], Iterable[Value]]]] = {
    "material": _materials,
    "finish": _finishes,
    "thickness": _thicknesses,
    "pitch": _pitches,
    "position_tolerance": _positions,
    "flatness": _flatnesses,
}
"""Fields that the contract names, of which the shop or the trade knows more than the nearest."""
