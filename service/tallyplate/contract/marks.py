"""Engraved coordinates, for any family whose holes lie on lattices, and a text of the customer's own."""

from collections.abc import Collection, Iterator
from typing import Final

from msgspec import UNSET, UnsetType

from tallyplate.contract.build import HoleGroup, Marks
from tallyplate.contract.refusals import refuse
from tallyplate.contract.shop import ShopData
from tallyplate.contract.spec import Edge, Marking, Usual
from tallyplate.lattice import Lattice
from tallyplate.lettering import letter_characters, number_characters

LETTERED: Final = ("bottom", "top")
"""Sides along which columns are named; rows are numbered along the others."""

OTHER_SIDES: Final[tuple[Edge, ...]] = ("top", "right", "bottom", "left")
"""Where a text goes, the first that has no coordinates."""


def coordinate_marks(
    spec: Marking | UnsetType,
    holes: tuple[HoleGroup, ...],
    shop: ShopData,
    usual: Usual,
    *,
    pointer: str = "/plate/marking",
) -> tuple[Marks, ...]:
    """Letters name columns and numbers rows: those of a face's finest lattice, so that every hole has a name.

    Columns and rows that are left out are named too, as on a ruler. Where there are zones, each is engraved along its
    own edges, from A and from 1. A text stands on the first of the faces.
    """
    given = UNSET if isinstance(spec, UnsetType) else spec.edges
    edges = sorted(set(usual(f"{pointer}/edges", given, shop.usual.edges, "rows and columns are marked as standard")))
    marks: list[Marks] = []
    places = tuple(dict.fromkeys((group.face, group.zone) for group in holes)) or (("top", 0),)
    for face, zone in places:
        here = [group for group in holes if (group.face, group.zone) == (face, zone)]
        lattices = [group.layout for group in here if isinstance(group.layout, Lattice)]
        columns = letter_characters(max((layout.columns for layout in lattices), default=0))
        rows = number_characters(max((layout.rows for layout in lattices), default=0))
        where = f"{_where(face)}{f'zone {zone} ' if zone else ''}"
        marks += [Marks(f"{where}{edge}", columns if edge in LETTERED else rows) for edge in edges]
    return (*marks, *_texts(spec, places[0][0], edges, usual, pointer))


def _where(face: str) -> str:
    return "" if face == "top" else f"{face} "


def _texts(spec: Marking | UnsetType, face: str, edges: Collection[str], usual: Usual, pointer: str) -> Iterator[Marks]:
    """The text, if there is one; refuses blanks at its ends, which nobody sees."""
    if isinstance(spec, UnsetType) or isinstance(spec.text, UnsetType):
        return
    if spec.text != spec.text.strip():
        raise refuse(f"{pointer}/text", "begins or ends with a blank; accepted: a text without")
    free = next((side for side in OTHER_SIDES if side not in edges), OTHER_SIDES[0])
    side = usual(f"{pointer}/text_side", spec.text_side, free, "a side without coordinates, where there is one")
    yield Marks(f"{_where(face)}{side}", len(spec.text.replace(" ", "")), spec.text)
