"""How a pattern gives way to other holes: positions too near to one are given up, and told."""

from typing import Final

from msgspec.structs import replace

from tallyplate.contract.build import HoleGroup
from tallyplate.contract.refusals import refuse
from tallyplate.contract.shop import ShopData
from tallyplate.lattice import Lattice, Node, Points, crowded
from tallyplate.units import decimal_text

MAX_GIVEN_UP: Final = 20_000
"""Most positions of a pattern that may make way for other holes."""


def giving_way(
    pattern_holes: tuple[HoleGroup, ...], added: list[HoleGroup], shop: ShopData
) -> tuple[tuple[HoleGroup, ...], tuple[tuple[str, Node], ...]]:
    """The pattern without the positions whose holes would leave too thin a wall to an added hole, and those.

    Refuses, before any position is looked at, a pattern so dense that thousands would be lost.
    """
    kept: list[HoleGroup] = []
    given_up: list[tuple[str, Node]] = []
    for group in pattern_holes:
        layout = group.layout
        lost: frozenset[Node] = frozenset()
        if isinstance(layout, Lattice):
            _refuse_crowds(group, layout, added, shop)
            for other in added:
                reach = (group.hole.widest + other.hole.widest) / 2 + shop.walls.between_holes
                if isinstance(other.layout, Points):
                    lost |= crowded(layout, other.layout, reach)
            if lost:
                layout = replace(layout, without=tuple(sorted(lost)))
        if layout.count:
            kept.append(replace(group, layout=layout) if lost else group)
        given_up += [(group.kind, node) for node in sorted(lost)]
    return tuple(kept), tuple(given_up)


def _refuse_crowds(group: HoleGroup, lattice: Lattice, added: list[HoleGroup], shop: ShopData) -> None:
    node = lattice.pitch_x * lattice.pitch_y
    reaches = ((group.hole.widest + other.hole.widest + 2 * shop.walls.between_holes, other.count) for other in added)
    crowd = sum(count * reach**2 for reach, count in reaches) / node
    if crowd > MAX_GIVEN_UP:
        message = (
            f"{decimal_text(lattice.pitch_x, 4)} mm between holes gives up about {crowd:.0f} positions to other holes; "
            f"accepted: a pitch that gives up at most {MAX_GIVEN_UP}"
        )
        raise refuse("/plate/pattern/pitch", message)
