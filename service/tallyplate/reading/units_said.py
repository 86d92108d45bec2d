"""The unit of a number that was said without one: taken only by one of three stated rules, otherwise left open.

1. In several sizes with an x between them, such as "24 x 16 x 1.5 in", those without a unit have the next one's, where
   stock holds such a size.
2. The plate's other lengths, where all that have a unit have the same one, lend it. The machine's lengths, such as its
   slots, and tolerances neither lend nor borrow: both are said in the other system often enough.
3. Of millimetres and inches, the one in which the shop's stock holds such a size, where it is only one of them. Bare
   centimetres are not said in the trade (common practice, no source).

A number with an "in" behind it that may be the preposition takes no millimetres by the second rule. Where two rules
speak against each other, neither holds.
"""

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Final

from msgspec.structs import replace

from tallyplate.contract import ShopData
from tallyplate.reading.items import Measure
from tallyplate.reading.sizes import ORDER
from tallyplate.reading.statements import Statement

TRADE: Final = ("mm", "in")
NAMES: Final = {"mm": "millimetres", "in": "inches"}
IN_MM: Final = {"mm": Fraction(1), "in": Fraction(254, 10)}
SYSTEM: Final = {"um": "mm", "mm": "mm", "cm": "mm", "m": "mm", "in": "in", "ft": "in"}

LENDING: Final = ("/plate/length", "/plate/width", "/plate/thickness", "/plate/diameter", "/plate/height",
                  "/plate/face_width", "/plate/depth", "/plate/pattern/pitch", "/plate/pattern/margin")  # fmt: skip
BODY: Final = LENDING[:7]
OF_THEIR_OWN: Final = ("/plate/mounting", "/plate/position_tolerance", "/plate/flatness")
"""Lengths that neither lend nor borrow a unit."""


def settled(statements: Sequence[Statement], shop: ShopData) -> list[Statement]:
    """Statements with the units of their lengths, or with why a unit is not certain."""
    lending = {
        SYSTEM[one.value.unit]
        for one in statements
        if isinstance(one.value, Measure) and one.value.unit and one.pointer in LENDING and one.why in {"", ORDER}
    }
    sizes = [one for one in statements if _bare(one) and one.pointer in BODY and one.why in {"", ORDER}]
    fitting = _fitting(sizes, shop)
    if not lending and sizes and len(fitting) == 1:
        lending = {*fitting}
    return [_settled(one, lending, fitting) if _bare(one) else _held(one, shop) for one in statements]


def _bare(one: Statement) -> bool:
    return isinstance(one.value, Measure) and not one.value.unit


def _held(one: Statement, shop: ShopData) -> Statement:
    """A size with a unit; one that lent it is not certain where no stock holds it."""
    measure = one.value
    if not (isinstance(measure, Measure) and one.because and not one.why and one.pointer in BODY):
        return one
    unit = SYSTEM[measure.unit or TRADE[0]]
    if unit in _fitting((one,), shop):
        return one
    return replace(one, why=f"no stock holds a plate of such a size in {NAMES[unit]}", choices=_in_either(measure))


def _in_either(measure: Measure) -> tuple[str, ...]:
    return tuple(f"{measure.number.text} {each}" for each in TRADE)


def _settled(one: Statement, lending: set[str], fitting: tuple[str, ...]) -> Statement:
    measure = one.value
    assert isinstance(measure, Measure)  # noqa: S101 - only these are bare
    borrows = not one.pointer.startswith(OF_THEIR_OWN)
    unit = next(iter(lending)) if borrows and len(lending) == 1 else None
    only = fitting[0] if len(fitting) == 1 and one.pointer in BODY else None
    because = f"the plate's other lengths are in {NAMES.get(unit or '')}"
    if only and only == unit:
        because = f"no stock holds a plate of such sizes in {NAMES[_other(only)]}"
    either = measure.perhaps_inches and unit not in {"in", only}
    if unit is None or either or (one.pointer in BODY and unit not in fitting):
        return replace(one, why=one.why or "its unit is not said", choices=one.choices or _in_either(measure))
    because = f"{one.because}; {because}" if one.because else because
    return replace(one, value=Measure(measure.number, unit), because=because)


def _other(unit: str) -> str:
    return TRADE[unit == TRADE[0]]


def _fitting(bare: Iterable[Statement], shop: ShopData) -> tuple[str, ...]:
    """The units in which stock holds every one of some sizes."""
    longest = max(
        (
            float(sheet.longest)
            for one in shop.materials.values()
            for sheet in (*one.stock.values(), *one.blocks.values())
        ),
        default=0.0,
    )
    amounts = [one.value.number.amount for one in bare if isinstance(one.value, Measure)]
    return tuple(unit for unit in TRADE if all(amount * IN_MM[unit] <= longest for amount in amounts))
