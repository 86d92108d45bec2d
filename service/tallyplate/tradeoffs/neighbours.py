"""What may stand in the place of an answer: its neighbours, from the shop's data, by simple steps, or by its type."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from fractions import Fraction
from typing import Any, Final, NamedTuple

from msgspec import inspect as kinds

from tallyplate.contract import ShopData
from tallyplate.inquiry import MAX_QUANTITY
from tallyplate.lattice import GUARD
from tallyplate.tradeoffs import steps
from tallyplate.tradeoffs.choices import QUANTITY, Choice, Value, bare
from tallyplate.units import counted, length

MOST: Final = 12
"""Neighbours of one answer."""

QUANTITIES: Final = (1, 2, 5, 10, 25)

Plate = Mapping[str, Any]
"""A plate as it was asked for."""


class Neighbour(NamedTuple):
    """A value, and what it is in words."""

    value: Value
    words: str


def neighbours(choice: Choice, plate: Plate, shop: ShopData) -> list[Neighbour]:
    """The neighbours of an answer, at most `MOST`; none where its field is no choice, such as a plate's length."""
    find = by_type(choice)
    found = find(choice) if find else _by_name(choice, plate, shop)
    return list(found)[:MOST]


def by_type(choice: Choice) -> Callable[[Choice], Iterator[Neighbour]] | None:
    """What finds the neighbours of a choice whose type lists what it may be; None for another."""
    return next((find for kind, find in BY_TYPE if isinstance(choice.kind, kind)), None)


def _by_name(choice: Choice, plate: Plate, shop: ShopData) -> Iterable[Neighbour]:
    if choice.pointer == QUANTITY and isinstance(choice.value, int):
        return _quantities(choice.value)
    if choice.length:
        find = LENGTHS.get(choice.name)
        return find(choice.length, plate, shop) if find else ()
    find = NAMES.get(choice.name)
    return find(choice.value, plate, shop) if find and isinstance(choice.value, str) else ()


def _materials(value: str, _: Plate, shop: ShopData) -> Iterator[Neighbour]:
    """Those of its own kind first."""
    group = shop.materials[value].group if value in shop.materials else ""
    for name, one in sorted(shop.materials.items(), key=lambda item: (item[1].group != group, item[1].group, item[0])):
        if name != value:
            yield Neighbour(name, one.title)


def _finishes(value: str, plate: Plate, shop: ShopData) -> Iterator[Neighbour]:
    """Those that its material takes."""
    material = shop.materials.get(str(plate.get("material")))
    for name in material.finishes if material else ():
        if name != value and name in shop.finishes:
            yield Neighbour(name, shop.finishes[name].title)


def _screws(value: str, _: Plate, shop: ShopData) -> Iterator[Neighbour]:
    """The nearest in size, the smallest first."""
    screws = shop.screws
    if value in screws:
        others = sorted(
            (name for name in screws if name != value), key=lambda name: abs(screws[name].major - screws[value].major)
        )
        yield from (Neighbour(name, name) for name in sorted(others[:MOST], key=lambda name: screws[name].major))


def _pitches(value: str, _: Plate, __: ShopData) -> Iterator[Neighbour]:
    """One step finer and one coarser."""
    step = steps.PITCH[steps.manner(value).system]
    pitch = length(value)
    yield from _lengths(value, ("finer", steps.below(pitch, step)), ("coarser", steps.above(pitch, step)))


def _thicknesses(value: str, plate: Plate, shop: ShopData) -> Iterator[Neighbour]:
    """What the next thinner and the next thicker stock of its material leave."""
    thickness = length(value)
    others = left_by_stock(value, plate, shop)
    thinner = [one for one in others if one < thickness * (1 - GUARD)]
    thicker = [one for one in others if one > thickness * (1 + GUARD)]
    pairs = [("thinner", max(thinner))] if thinner else []
    pairs += [("thicker", min(thicker))] if thicker else []
    yield from _lengths(value, *pairs)


def _tolerances(value: str, _: Plate, __: ShopData) -> Iterator[Neighbour]:
    tighter, looser = steps.rounder(length(value), steps.TOLERANCE[steps.manner(value).system])
    yield from _lengths(value, ("tighter", tighter), ("looser", looser))


def _quantities(value: int) -> Iterator[Neighbour]:
    for many in QUANTITIES:
        if many != value and many <= MAX_QUANTITY:
            yield Neighbour(many, counted(many, "plate"))


def _lengths(value: str, *named: tuple[str, Fraction]) -> Iterator[Neighbour]:
    manner = steps.manner(value)
    for words, mm in named:
        text = manner.text(mm)
        if text:
            yield Neighbour(text, f"{words}, {text}")


def left_by_stock(value: str, plate: Plate, shop: ShopData) -> list[Fraction]:
    """The round thicknesses that stock of a plate's material leaves when both faces are cleaned up, thinnest first."""
    step = steps.THICKNESS[steps.manner(value).system]
    material = shop.materials.get(str(plate.get("material")))
    sheets = material.stock.values() if material else ()
    left = [size - 2 * sheet.clean_up for sheet in sheets for size in sheet.thicknesses]
    round_ones = {steps.below(mm * (1 + 2 * GUARD), step) for mm in left}
    return sorted(one for one in round_ones if one > 0)


def _others(choice: Choice) -> Iterator[Neighbour]:
    """The other choices of a list."""
    yield from (Neighbour(one, _said(one)) for one in _listed(choice.kind) if one != choice.value)


def _opposite(choice: Choice) -> Iterator[Neighbour]:
    words = {False: f"{choice.title.lower()}: no", True: f"{choice.title.lower()}: yes"}
    yield from (Neighbour(one, words[one]) for one in words if one is not choice.value)


def _fewer(choice: Choice) -> Iterator[Neighbour]:
    """A list without each of its members, empty, and with all that it may have."""
    assert isinstance(choice.kind, kinds.CollectionType)  # noqa: S101 - BY_TYPE says so
    listed, value = _listed(bare(choice.kind.item_type)), choice.value
    if not listed or not isinstance(value, tuple):
        return
    if len(value) > 1:
        for one in dict.fromkeys(value):
            yield Neighbour(tuple(other for other in value if other != one), f"without {_said(one)}")
    if value:
        yield Neighbour((), "none")
    if not set(listed) <= set(value):
        every = (*dict.fromkeys(value), *(one for one in listed if one not in value))
        yield Neighbour(every, ", ".join(map(_said, every)))


def _listed(kind: kinds.Type) -> tuple[str | int, ...]:
    """What a type lists; nothing where it lists nothing."""
    if isinstance(kind, kinds.LiteralType):
        return tuple(one for one in kind.values if one is not None)
    return tuple(one.value for one in kind.cls) if isinstance(kind, kinds.EnumType) else ()


def _said(value: object) -> str:
    return str(value).replace("_", " ")


ByName = dict[str, Callable[[str, Plate, ShopData], Iterator[Neighbour]]]

NAMES: Final[ByName] = {"material": _materials, "finish": _finishes, "screw": _screws}
"""Fields that name what the shop has."""

LENGTHS: Final[ByName] = {
    "pitch": _pitches,
    "pitch_across": _pitches,
    "thickness": _thicknesses,
    "position_tolerance": _tolerances,
    "flatness": _tolerances,
}
"""Lengths whose neighbours the shop or the trade knows; of any other, a step is no choice."""

BY_TYPE: Final[tuple[tuple[type, Callable[[Choice], Iterator[Neighbour]]], ...]] = (
    (kinds.LiteralType, _others),
    (kinds.EnumType, _others),
    (kinds.BoolType, _opposite),
    (kinds.CollectionType, _fewer),
)
"""Fields of anybody's whose type lists what they may be."""
