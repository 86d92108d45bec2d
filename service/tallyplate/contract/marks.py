"""Engraved coordinates, for any family whose holes lie on lattices."""

from typing import Final

from msgspec import UNSET, UnsetType

from tallyplate.contract.build import HoleGroup, Marks
from tallyplate.contract.shop import ShopData
from tallyplate.contract.spec import Marking, Usual
from tallyplate.lattice import Lattice, letter_characters, number_characters

LETTERED: Final = ("bottom", "top")
"""Sides along which columns are named; rows are numbered along the others."""


def coordinate_marks(
    spec: Marking | UnsetType,
    holes: tuple[HoleGroup, ...],
    shop: ShopData,
    usual: Usual,
    *,
    pointer: str = "/plate/marking",
) -> tuple[Marks, ...]:
    """Letters name columns and numbers rows: those of a face's finest lattice, so that every hole has a name."""
    given = UNSET if isinstance(spec, UnsetType) else spec.edges
    edges = sorted(set(usual(f"{pointer}/edges", given, shop.usual.edges, "rows and columns are marked as standard")))
    marks: list[Marks] = []
    for face in dict.fromkeys(group.face for group in holes) or ("top",):
        lattices = [group.layout for group in holes if group.face == face and isinstance(group.layout, Lattice)]
        columns = letter_characters(max((layout.columns for layout in lattices), default=0))
        rows = number_characters(max((layout.rows for layout in lattices), default=0))
        where = "" if face == "top" else f"{face} "
        marks += [Marks(f"{where}{edge}", columns if edge in LETTERED else rows) for edge in edges]
    return tuple(marks)
