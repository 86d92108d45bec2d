"""From the features of a spec to holes, milled outlines and areas kept free, for any family of flat plates."""

from collections.abc import Callable, Sequence
from functools import partial
from typing import Any, Final

from msgspec import Struct

from tallyplate.contract.build import Body, HoleGroup
from tallyplate.contract.clearing import Claim, clearing
from tallyplate.contract.edging import rounded_off
from tallyplate.contract.features import (
    CutOut,
    Feature,
    HoleCircle,
    KeepOut,
    PlacedBore,
    PlacedHoles,
    Pocket,
    Slot,
)
from tallyplate.contract.giving_way import giving_way
from tallyplate.contract.laying import Field
from tallyplate.contract.milled import KeptFree, Milled
from tallyplate.contract.milling import area, cut_out, pocket, slot
from tallyplate.contract.outlines import Outline
from tallyplate.contract.placed_holes import Ground, bore, circle, one_by_one
from tallyplate.contract.refusals import each, refuse
from tallyplate.contract.shop import ShopData
from tallyplate.contract.spec import Usual
from tallyplate.lattice import Node

POINTER: Final = "/plate/features"

MOST_HOLES: Final = 500
"""Most holes of all features together: each is held against each."""

MOST_CORNERS: Final = 1000
"""Most corners of all outlines together, likewise."""

Placed = HoleGroup | Milled | KeptFree


class Featured(Struct, frozen=True):
    """What features add to a plate, and the pattern without the positions that it gives up to them."""

    holes: tuple[HoleGroup, ...] = ()
    milled: tuple[Milled, ...] = ()
    kept_free: tuple[KeptFree, ...] = ()
    pattern: tuple[HoleGroup, ...] = ()
    given_up: tuple[tuple[str, Node], ...] = ()

    @property
    def outlines(self) -> tuple[Outline, ...]:
        """What mounting holes keep clear of: every hole and every milled outline, and areas to be kept free."""
        holes = [Outline((spot,), one.hole.widest / 2) for one in self.holes for spot in one.layout.positions()]
        return (*holes, *(one.outline for one in self.milled), *(free.outline for free in self.kept_free))


def featured(
    asked: Sequence[Feature],
    body: Body,
    pattern_holes: tuple[HoleGroup, ...],
    shop: ShopData,
    usual: Usual,
    beside: tuple[HoleGroup, ...] = (),
) -> Featured:
    """Place every feature; refuses what is off the plate, cannot be milled or is too much, all at once.

    The pattern makes way for them, for the holes `beside`, and for round corners of the body.
    """
    if not asked and not beside and not body.corner:
        return Featured(pattern=pattern_holes)
    field = Field(body.length, body.width, body.thickness, body.material, disc=body.disc)
    ground = Ground(field, shop, usual)
    placed = each(partial(PLACERS[type(one)], one, ground, f"{POINTER}/{number}") for number, one in enumerate(asked))
    holes = [*beside, *(one for one in placed if isinstance(one, HoleGroup))]
    milled = tuple(one for one in placed if isinstance(one, Milled))
    kept_free = tuple(one for one in placed if isinstance(one, KeptFree))
    _refuse_many("holes", sum(group.count for group in holes), MOST_HOLES)
    outlines = [*(one.outline for one in milled), *(one.outline for one in kept_free)]
    corners = sum(len(outline.core) for outline in outlines)
    _refuse_many("corners of outlines", corners, MOST_CORNERS)
    wall = shop.walls.between_holes
    claims = (
        *(Claim(one.outline, wall, one.asked) for one in milled),
        *(Claim(one.outline, 0.0, one.asked) for one in kept_free),
    )
    kept, to_holes = giving_way(pattern_holes, holes, shop)
    kept, to_areas = clearing(kept, claims)
    kept, to_corners = rounded_off(kept, body, shop) if body.corner else (kept, ())
    return Featured(tuple(holes), milled, kept_free, kept, (*to_holes, *to_areas, *to_corners))


def _kept_free(one: KeepOut, ground: Ground, pointer: str) -> KeptFree:
    return KeptFree(area(one, ground.field, 0.0, pointer), pointer)


PLACERS: Final[dict[type[Feature], Callable[[Any, Ground, str], Placed]]] = {
    PlacedHoles: one_by_one,
    HoleCircle: circle,
    PlacedBore: bore,
    Pocket: pocket,
    Slot: slot,
    CutOut: cut_out,
    KeepOut: _kept_free,
}
"""What places each kind of feature."""


def _refuse_many(what: str, count: int, most: int) -> None:
    if count > most:
        raise refuse(POINTER, f"{count} {what}; accepted: at most {most} on all features together")
