"""What a flat plate is handled by: tapped holes for lifting eyes, and handles in pairs. Lengths are mm.

Lifting holes lie evenly about the middle of the top, so that the plate hangs level; their thread is the smallest whose
eye bolts are rated for the whole solid. Lifting is subject to local rules and a competent person's advice.
"""

from typing import Annotated, Final, Literal

from msgspec import UNSET, Meta, Struct, UnsetType
from msgspec.structs import replace

from tallyplate.contract.build import Body, Hardware, Hole, HoleGroup
from tallyplate.contract.holes import lifting_hole, tapped_hole
from tallyplate.contract.refusals import refuse
from tallyplate.contract.shop import ShopData
from tallyplate.contract.spec import Name, Usual
from tallyplate.lattice import Points
from tallyplate.units import decimal_text

LiftingHoles = Annotated[
    Literal["none", "two", "four"],
    Meta(
        title="Lifting holes",
        description="Tapped for eye bolts, evenly about the middle of the top. Lift by local rules.",
    ),
]
LiftingScrew = Annotated[
    Name,
    Meta(
        title="Thread of the lifting holes",
        description="Usually the smallest whose eye bolts are rated for the plate.",
        examples=["M12"],
    ),
]
LiftingEyes = Annotated[
    bool, Meta(title="Lifting eyes", description="Eye bolts for the lifting holes, sent with the plate.")
]
Handles = Annotated[
    Literal["none", "one_pair", "two_pairs"],
    Meta(title="Handles", description="Bought handles, screwed on along both ends of the plate."),
]

LIFTING, SCREW, EYES, HANDLES = "/plate/lifting_holes", "/plate/lifting_screw", "/plate/lifting_eyes", "/plate/handles"

QUARTERS: Final = {"two": ((1, 2), (3, 2)), "four": ((1, 1), (3, 1), (3, 3), (1, 3))}
"""Where lifting holes lie, in quarters of the length and of the width."""

ENDS: Final = {"one_pair": (2,), "two_pairs": (1, 3)}
"""Where the middles of handles lie along each end, in quarters of the width."""

FROM_EDGE: Final = 1.5
"""Distance of a handle's screws from the edge in diameters, besides the least wall (common practice, no source)."""


class Handled(Struct, frozen=True):
    """The holes that handling asks for, and the parts."""

    holes: tuple[HoleGroup, ...] = ()
    parts: tuple[Hardware, ...] = ()


def handled(
    body: Body,
    shop: ShopData,
    usual: Usual,
    lifting: str = "none",
    screw: str | UnsetType = UNSET,
    eyes: bool | UnsetType = UNSET,
    handles: str = "none",
) -> Handled:
    """Lifting holes and handles; refuses answers that mean nothing without them, and handles without room."""
    holes: list[HoleGroup] = []
    parts: list[Hardware] = []
    if lifting == "none":
        for pointer, answer in ((SCREW, screw), (EYES, eyes or UNSET)):
            if answer is not UNSET:
                raise refuse(pointer, "has no meaning without lifting holes; accepted: leave it out")
    else:
        at = tuple((x * body.length / 4, y * body.width / 4) for x, y in QUARTERS[lifting])
        thread = usual(
            SCREW, screw, _rated(body, len(at), shop), "the smallest whose eye bolts are rated for the plate"
        )
        shop.screw(thread, SCREW)
        hole = _tapped(thread, body, shop)
        holes.append(HoleGroup("lifting", hole, Points(at), mounting=True, asked=SCREW))
        if eyes:
            parts.append(Hardware("lifting_eye", thread, len(at)))
    if handles != "none":
        group, part = _handles(handles, body, shop)
        holes.append(group)
        parts.append(part)
    return Handled(tuple(holes), tuple(parts))


def _rated(body: Body, count: int, shop: ShopData) -> str:
    """The smallest screw whose eye bolts are rated for the solid; else the one that is rated for most."""
    mass = shop.mass(body)
    rated = sorted(
        (screw.major, screw.eye_bolt.bears(count), name) for name, screw in shop.screws.items() if screw.eye_bolt
    )
    strongest = max(rated, key=lambda one: one[1], default=(0.0, 0.0, shop.usual.screw))
    return next((name for _, bears, name in rated if bears >= mass), strongest[2])


def _tapped(screw: str, body: Body, shop: ShopData) -> Hole:
    """Blind where the plate is thick enough for the thread's usual length and the tap, else through."""
    blind = lifting_hole(screw, shop, SCREW)
    floor = body.thickness - blind.bores[0].depth
    return blind if floor >= shop.walls.between_holes else tapped_hole(screw, body.thickness, shop)


def _handles(handles: str, body: Body, shop: ShopData) -> tuple[HoleGroup, Hardware]:
    known = next(((name, one, one.handle) for name, one in shop.screws.items() if one.handle), None)
    if known is None:
        raise refuse(HANDLES, f"are not on offer: shop data {shop.id} state no handle; accepted: none")
    name, screw, handle = known
    inset, quarters = shop.walls.to_edge + FROM_EDGE * screw.major, ENDS[handles]
    needed = len(quarters) * (handle.spacing + 2 * inset)
    if body.width < needed or body.length < 4 * inset:
        message = f"have no room on this plate; accepted: none, or a width of at least {decimal_text(needed, 1)} mm"
        raise refuse(HANDLES, message)
    half = handle.spacing / 2
    at = tuple(
        (x, quarter * body.width / 4 + side)
        for x in (inset, body.length - inset)
        for quarter in quarters
        for side in (-half, half)
    )
    hole = replace(_tapped(name, body, shop), size="")
    group = HoleGroup("handle", hole, Points(at), mounting=True, asked=HANDLES)
    return group, Hardware("handle", name, 2 * len(quarters))
