"""The answers of a question that are tried: those on offer in the shop, those its type lists, or those worth asking.

They are few and finite. Other lengths and numbers may be given, and are priced; what is said about ranges speaks for
these, and for every size between the ends of a range.
"""

from collections.abc import Callable, Iterable, Mapping
from typing import Any, Final

from msgspec import inspect as kinds

from tallyplate.contract import Length, Question, ShopData
from tallyplate.tradeoffs.choices import Value, bare
from tallyplate.tradeoffs.questions.fields import Asked
from tallyplate.units import UnitError, length

MOST: Final = 24
"""Answers of one question that are tried."""

QUANTITIES: Final = (1, 2, 5, 10, 25, 50)

TOLERANCES: Final = ("0.01 mm", "0.02 mm", "0.03 mm", "0.05 mm", "0.1 mm", "0.2 mm")
"""Round tolerances (common practice, no source)."""

FLATNESSES: Final = ("0.01 mm", "0.02 mm", "0.05 mm", "0.1 mm")

THICKNESSES: Final = ("20 mm", "25 mm", "30 mm", "40 mm", "50 mm", "60 mm", "70 mm")

GRIDS: Final = ("50 mm", "100 mm")

SIZES: Final = ("150 mm", "300 mm", "600 mm")
"""For a length of which nobody says anything."""

AROUND: Final = (0.8, 1.0, 1.25)
"""Of a length that nobody words: the usual one or the example, and a step to either side."""

MANY: Final = 12
"""Most whole numbers that are all tried."""

Plate = Mapping[str, Any]


def answers(
    field: Asked, plate: Plate, shop: ShopData, usual: Value | None, worded: Question | None = None
) -> tuple[Value, ...]:
    """The answers of a field in a plate, at most `MOST`, with its usual one; each length once, whatever its unit."""
    if worded and worded.answers:
        found: Iterable[Value] = worded.answers
    elif field.name in BY_NAME:
        found = BY_NAME[field.name](plate, shop)
    elif isinstance(field.kind, kinds.StrType) and field.name.endswith("screw"):
        found = shop.screws
    else:
        found = _by_type(field, usual)
    every = [*found, usual] if usual is not None else [*found]
    once: dict[object, Value] = {}
    for one in every:
        once.setdefault(_same(one), one)
    ordered = sorted(once.values(), key=lambda one: _mm(one) or 0.0)
    return tuple(ordered[:MOST])


def _mm(value: Value) -> float | None:
    try:
        return length(value) if isinstance(value, str) else None
    except UnitError:
        return None


def _same(value: Value) -> object:
    return _mm(value) or (type(value), value)


def _by_type(field: Asked, usual: Value | None) -> Iterable[Value]:
    kind = field.kind
    if isinstance(kind, kinds.BoolType):
        return (False, True)
    if isinstance(kind, kinds.IntType):
        return _whole_numbers(kind, field)
    if isinstance(kind, kinds.CollectionType) and (listed := _listed(bare(kind.item_type))):
        return (), tuple(one for one in listed if isinstance(one, str | int))
    if isinstance(kind, kinds.CustomType) and kind.cls is Length:
        known = _mm(usual if usual is not None else next(iter(field.examples), ""))
        return [f"{round(known * times, 3):g} mm" for times in AROUND] if known else SIZES
    return _listed(kind) or list(field.examples)


def _listed(kind: kinds.Type) -> list[Value]:
    """The values of a type that lists them."""
    if isinstance(kind, kinds.EnumType):
        return [one.value for one in kind.cls]
    return [one for one in kind.values if one is not None] if isinstance(kind, kinds.LiteralType) else []


def _whole_numbers(kind: kinds.IntType, field: Asked) -> Iterable[int]:
    least, most = kind.ge, kind.le
    if least is not None and most is not None and most - least < MANY:
        return range(least, most + 1)
    return field.examples


def _finishes(plate: Plate, shop: ShopData) -> Iterable[str]:
    """Those that the plate's material takes."""
    material = shop.materials.get(str(plate.get("material")))
    return [one for one in shop.finishes if not material or one in material.finishes]


def _spacings(plate: Plate, shop: ShopData) -> Iterable[str]:
    """The standard ones of such slots; of all slots where there are none."""
    width = _mm(plate.get("mounting", {}).get("slot_width", shop.usual.slot_width.text)) or 0.0
    own = [slot.spacings for slot in shop.t_slots if abs(slot.width - width) < SLACK and slot.spacings]
    return [one.text for many in own or [slot.spacings for slot in shop.t_slots] for one in many]


SLACK: Final = 0.2
"""Millimetres by which two slot widths of one name may differ."""


def _pitches(_: Plate, shop: ShopData) -> Iterable[str]:
    """The usual pitch of every screw, and half as much again as the widest."""
    usual = sorted(screw.usual_pitch for screw in shop.screws.values())
    return [*(one.text for one in usual), f"{round(1.5 * usual[-1], 3):g} mm"]


def _held(_: Plate, shop: ShopData) -> Iterable[str]:
    """Tolerances that the machine is trusted with."""
    return [one for one in TOLERANCES if length(one) >= shop.machine.holds]


BY_NAME: Final[Mapping[str, Callable[[Plate, ShopData], Iterable[Value]]]] = {
    "material": lambda _, shop: shop.materials,
    "finish": _finishes,
    "screw": lambda _, shop: shop.screws,
    "pitch": _pitches,
    "pitch_across": _pitches,
    "thickness": lambda *_: THICKNESSES,
    "position_tolerance": _held,
    "flatness": lambda *_: FLATNESSES,
    "slot_width": lambda _, shop: [slot.width.text for slot in shop.t_slots],
    "slot_spacing": _spacings,
    "grid_pitch": lambda *_: GRIDS,
    "edges": lambda *_: ((), ("left", "bottom"), ("left", "right", "bottom", "top")),
}
"""Fields that the contract names, whose answers the shop or the trade knows."""
