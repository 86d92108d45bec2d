"""Round corners and chamfered edges of a flat plate, and the holes that corners leave no room for. Lengths are mm."""

from collections.abc import Iterator
from math import ceil, floor
from typing import Annotated

from msgspec import Meta, UnsetType
from msgspec.structs import replace

from tallyplate.contract.build import Body, HoleGroup
from tallyplate.contract.giving_way import MAX_GIVEN_UP, giving_up
from tallyplate.contract.outlines import inset
from tallyplate.contract.refusals import refuse
from tallyplate.contract.shop import ShopData
from tallyplate.lattice import GUARD, Lattice, Node
from tallyplate.units import Length, decimal_text

EdgeChamfer = Annotated[
    Length,
    Meta(title="Edge chamfer", description="Width along the edges of both large faces.", examples=["1 mm"]),
]

CORNER, CHAMFER = "/plate/corner_radius", "/plate/edge_chamfer"


def edged(body: Body, corner: Length | UnsetType, chamfer: Length | UnsetType, shop: ShopData) -> Body:
    """A flat body with its corners and edges; refuses what leaves no straight side or no edge, and shops without mills.

    The body's areas and volume stay those of its box, so that neither makes a plate cheaper.
    """
    if isinstance(corner, UnsetType) and isinstance(chamfer, UnsetType):
        return body
    for pointer, asked, most in (
        (CORNER, corner, min(body.length, body.width) / 2),
        (CHAMFER, chamfer, min(body.length, body.width, body.thickness) / 2),
    ):
        if isinstance(asked, UnsetType):
            continue
        if not any(mill.reach >= body.thickness / 2 for mill in shop.cutting.end_mills):
            raise refuse(pointer, f"is not on offer: shop data {shop.id} state no end mill; accepted: leave it out")
        if asked >= most:
            raise refuse(pointer, f"{asked.text} leaves no side; accepted: less than {decimal_text(most, 3)} mm")
    radius, width = (0.0 if isinstance(one, UnsetType) else float(one) for one in (corner, chamfer))
    return replace(body, corner=radius, chamfer=width) if radius or width else body


def rounded_off(
    pattern_holes: tuple[HoleGroup, ...], body: Body, shop: ShopData
) -> tuple[tuple[HoleGroup, ...], tuple[tuple[str, Node], ...]]:
    """The pattern without the holes that come nearer to a round corner than to a side they may, and those."""

    def lost(group: HoleGroup, lattice: Lattice) -> Iterator[Node]:
        if group.crowded:
            return
        least = (group.hole.widest / 2 + max(shop.walls.to_edge, body.chamfer)) * (1 - GUARD)
        columns, rows = (
            _ends(start, pitch, count, size, body.corner)
            for start, pitch, count, size in (
                (lattice.x, lattice.pitch_x, lattice.columns, body.length),
                (lattice.y, lattice.pitch_y, lattice.rows, body.width),
            )
        )
        if len(columns) * len(rows) > MAX_GIVEN_UP:
            message = f"has {len(columns) * len(rows)} holes in its corners; accepted: at most {MAX_GIVEN_UP}"
            raise refuse(CORNER, message)
        for node in lattice.taken_of((column, row) for row in rows for column in columns):
            x, y = lattice.position(node)
            across, up = min(x, body.length - x), min(y, body.width - y)
            if inset((x, y), body.length, body.width, body.corner) < least <= min(across, up):
                yield node

    return giving_up(pattern_holes, lambda group, lattice: tuple(lost(group, lattice)))


def _ends(start: float, pitch: float, count: int, size: float, corner: float) -> list[int]:
    """The columns or rows that pass through corners."""
    first, last = floor((corner - start) / pitch) + 1, ceil((size - corner - start) / pitch)
    return [*range(max(0, min(first, count))), *range(max(0, first, last), count)]
