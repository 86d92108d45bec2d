"""Marking: characters engraved along each marked side, coordinates or a text.

Time in s = characters x time each + sides x time to line up (common practice, no source).
"""

from collections.abc import Iterable

from msgspec import Struct

from tallyplate.contract import (
    CONTRACT,
    Build,
    Charge,
    CostModule,
    Line,
    Order,
    Seconds,
    ShopData,
    Stage,
    counted,
    work,
)


class Figures(Struct, frozen=True, forbid_unknown_fields=True):
    """Time to engrave a character, and to start on a side."""

    character: Seconds
    side: Seconds


def charges(
    build: Build,
    order: Order,
    shop: ShopData,
    rates: None,
    earlier: tuple[Line, ...],
) -> Iterable[Charge]:
    """One charge for each marked side."""
    own = shop.figures(Figures)
    for marks in build.marks:
        seconds = own.side + marks.characters * own.character
        what = f"text on {marks.side} side" if marks.text else f"{marks.side} side"
        yield work(f"engraving {what}", seconds, "mill", f"{counted(marks.characters, 'character')} a plate")


MODULE = CostModule(
    contract=CONTRACT,
    stage=Stage.MAKE,
    place=50,
    title="Engraved coordinates",
    charges=charges,
    figures=Figures,
    work_centers=("mill",),
    reads_blank=False,
    reads_order=False,
)
