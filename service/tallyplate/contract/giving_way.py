"""How a pattern gives way to other holes: positions too near to one are given up, and told."""

from collections.abc import Callable
from typing import Final

from msgspec.structs import replace

from tallyplate.columns.parting import each_once, remembered, told_of
from tallyplate.contract.build import HoleGroup, Recess
from tallyplate.contract.refusals import refuse
from tallyplate.contract.seats import nodes_near, opening
from tallyplate.contract.shop import ShopData
from tallyplate.lattice import Lattice, Layout, Node, Points, crowded
from tallyplate.units import decimal_text

Nodes = tuple[Node, ...]

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
    others = [(other.layout, other.hole.widest) for other in added]
    wall = shop.walls.between_holes

    def lost(group: HoleGroup, lattice: Lattice) -> tuple[Node, ...]:
        wide = group.hole.widest
        reaches = [(other, (wide + wider) / 2 + wall) for other, wider in others]
        _refuse_crowds(lattice, reaches, group.asked or "/plate/pattern")
        if group.crowded:
            return ()
        near = _near(lattice, tuple([(other, reach) for other, reach in reaches if isinstance(other, Points)]))
        for seat in seats:
            if open_to := opening(group, seat, thickness, shop.walls):
                near = (*near, *nodes_near(lattice, seat, open_to / 2 + wall))
        return near

    return giving_up(pattern_holes, lost)


@remembered(1024)
def _near(lattice: Lattice, others: tuple[tuple[Points, float], ...]) -> tuple[Node, ...]:
    return tuple(sorted({node for points, reach in others for node in crowded(lattice, points, reach)}))


def giving_up(
    pattern_holes: tuple[HoleGroup, ...], lost_of: Callable[[HoleGroup, Lattice], Nodes]
) -> tuple[tuple[HoleGroup, ...], tuple[tuple[str, Node], ...]]:
    """The pattern without the positions that are told for each of its groups and their lattices; and those."""
    kept: list[HoleGroup] = []
    given_up: tuple[tuple[str, Node], ...] = ()
    for group in pattern_holes:
        layout = group.layout
        if isinstance(layout, Lattice):
            lost = each_once(lost_of(group, layout))
            given_up += told_of(group.called, lost)
            layout = replace(layout, without=each_once((*layout.without, *lost)) if layout.without else lost)
        if layout.count:
            kept.append(replace(group, layout=layout))
    return tuple(kept), given_up


def _refuse_crowds(lattice: Lattice, reaches: list[tuple[Layout, float]], asked: str) -> None:
    node = lattice.pitch_x * lattice.pitch_y
    crowd = sum([other.count * (2 * reach) ** 2 for other, reach in reaches]) / node
    if crowd > MAX_GIVEN_UP:
        message = (
            f"{decimal_text(lattice.pitch_x, 4)} mm between holes gives up about {crowd:.0f} positions to other holes; "
            f"accepted: a pitch that gives up at most {MAX_GIVEN_UP}"
        )
        raise refuse(f"{asked}/pitch", message)
