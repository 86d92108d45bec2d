"""How a pattern gives way to other holes: positions too near to one are given up, and told."""

from typing import Final

from msgspec.structs import replace

from tallyplate.contract.build import HoleGroup, Recess
from tallyplate.contract.refusals import refuse
from tallyplate.contract.seats import nodes_near, opening
from tallyplate.contract.shop import ShopData
from tallyplate.lattice import Lattice, Layout, Node, Points, crowded
from tallyplate.units import decimal_text

MAX_GIVEN_UP: Final = 20_000
"""Most positions of a pattern that may make way for other holes."""


def giving_way(
    pattern_holes: tuple[HoleGroup, ...],
    added: list[HoleGroup],
    shop: ShopData,
    seats: tuple[Recess, ...] = (),
    thickness: float = 0.0,
) -> tuple[tuple[HoleGroup, ...], tuple[tuple[str, Node], ...]]:
    """The pattern without the positions whose holes would leave too thin a wall to an added hole or seat, and those.

    Refuses, before any position is looked at, a pattern so dense that thousands would be lost.
    """
    kept: list[HoleGroup] = []
    given_up: list[tuple[str, Node]] = []
    others = [(other.layout, other.hole.widest) for other in added]
    for group in pattern_holes:
        layout, lost = group.layout, set[Node]()
        if isinstance(layout, Lattice):
            wide, wall = group.hole.widest, shop.walls.between_holes
            reaches = [(other, (wide + wider) / 2 + wall) for other, wider in others]
            _refuse_crowds(layout, reaches, group.asked or "/plate/pattern")
            for other, reach in reaches:
                if isinstance(other, Points):
                    lost |= crowded(layout, other, reach)
            for seat in seats:
                if wide := opening(group, seat, thickness, shop.walls):
                    lost |= frozenset(nodes_near(layout, seat, wide / 2 + shop.walls.between_holes))
            if lost:
                given_up += [(group.called, node) for node in sorted(lost)]
                layout = replace(layout, without=tuple(sorted({*layout.without, *lost})))
        if layout.count:
            kept.append(replace(group, layout=layout) if lost else group)
    return tuple(kept), tuple(given_up)


def _refuse_crowds(lattice: Lattice, reaches: list[tuple[Layout, float]], asked: str) -> None:
    node = lattice.pitch_x * lattice.pitch_y
    crowd = sum([other.count * (2 * reach) ** 2 for other, reach in reaches]) / node
    if crowd > MAX_GIVEN_UP:
        message = (
            f"{decimal_text(lattice.pitch_x, 4)} mm between holes gives up about {crowd:.0f} positions to other holes; "
            f"accepted: a pitch that gives up at most {MAX_GIVEN_UP}"
        )
        raise refuse(f"{asked}/pitch", message)
