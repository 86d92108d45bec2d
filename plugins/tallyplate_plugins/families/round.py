"""The round plate, for a rotary table: a disc with a lattice about its centre, bolt circles, and a centre bore."""

from math import cos, pi, sin, tau
from typing import Annotated, Literal

from msgspec import UNSET, Meta, Struct, UnsetType

from tallyplate.contract import (
    CONTRACT,
    Body,
    Bore,
    Build,
    EdgeChamfer,
    Family,
    Features,
    Field,
    Hole,
    HoleGroup,
    Length,
    LiftingEyes,
    LiftingHoles,
    LiftingScrew,
    Marking,
    Pattern,
    PlateSpec,
    Points,
    ShopData,
    Table,
    Usual,
    coordinate_marks,
    edged,
    featured,
    flat_body,
    giving_way,
    handled,
    holding_hole,
    it7,
    pattern,
    refuse,
    tapped_hole,
)
from tallyplate_plugins.questions import ROUND
from tallyplate_plugins.supplied import Supplied, as_supplied

MAX_CIRCLE_HOLES = 360
"""Most holes on all bolt circles together: one a degree."""


class BoltCircle(Struct, frozen=True, forbid_unknown_fields=True):
    """Evenly spaced holes about the centre: tapped for clamping, or counterbored to hold the plate on its table."""

    diameter: Annotated[Length, Meta(title="Bolt circle diameter", examples=["200 mm", "8 in"])]
    count: Annotated[int, Meta(title="Holes", ge=1, le=MAX_CIRCLE_HOLES, examples=[6])]
    screw: Annotated[str, Meta(title="Screw", min_length=1, max_length=60, examples=["M12", "1/2-13"])]
    kind: Annotated[Literal["tapped", "holding"], Meta(title="Kind")] = "tapped"


class Round(PlateSpec, frozen=True, forbid_unknown_fields=True, tag="round", kw_only=True):
    """A round plate; its box starts at 0, 0, so that its centre lies half a diameter in."""

    diameter: Annotated[Length, Meta(title="Diameter", examples=["400 mm", "16 in"])]
    thickness: Annotated[Length, Meta(title="Finished thickness", examples=["40 mm", "1.9 in"])] | UnsetType = UNSET
    centre_bore: (
        Annotated[Length, Meta(title="Centre bore", description="Close tolerance, through.", examples=["50 mm"])]
        | UnsetType
    ) = UNSET
    pattern: Annotated[Pattern, Meta(title="Hole pattern", description="About the centre.")] | UnsetType = UNSET
    bolt_circles: Annotated[tuple[BoltCircle, ...], Meta(title="Bolt circles", max_length=12)] = ()
    marking: Annotated[Marking, Meta(title="Marking")] | UnsetType = UNSET
    features: Features = ()
    edge_chamfer: EdgeChamfer | UnsetType = UNSET
    lifting_holes: LiftingHoles = "none"
    lifting_screw: LiftingScrew | UnsetType = UNSET
    lifting_eyes: LiftingEyes | UnsetType = UNSET
    material_supplied: Supplied | UnsetType = UNSET


def build(spec: Round, shop: ShopData, usual: Usual) -> Build:
    """Lay out a round plate. The lattice gives way to the centre bore and to the bolt circles.

    Refuses what is not on offer, sizes that no stock holds, and circles and bores that leave the disc.
    """
    circles = enumerate(spec.bolt_circles)
    shop.require(
        ("/plate/material", spec.material, shop.materials),
        ("/plate/finish", spec.finish, shop.finishes),
        ("/plate/pattern/screw", spec.pattern.screw if spec.pattern else UNSET, shop.screws),
        *((f"/plate/bolt_circles/{index}/screw", circle.screw, shop.screws) for index, circle in circles),
    )
    thickness = usual("/plate/thickness", spec.thickness, shop.usual.thickness, "what the usual stock leaves")
    across = float(spec.diameter)
    box = (across, across, float(thickness))
    body = flat_body(spec.material, box, pi * across**2 / 4, pi * across, disc=True)
    body = edged(body, UNSET, spec.edge_chamfer, shop)
    blank, *other_blanks = as_supplied(shop.blanks(body), spec.material_supplied)
    field = Field(body.length, body.width, body.thickness, spec.material, disc=True)
    added = _added(spec, body, shop)
    kept, given_up = giving_way(pattern(spec.pattern, field, shop, usual, pointer="/plate/pattern"), added, shop)
    lifted = handled(body, shop, usual, spec.lifting_holes, spec.lifting_screw, spec.lifting_eyes)
    placed = featured(spec.features, body, kept, shop, usual, lifted.holes)
    return Build(
        body=body,
        blank=blank,
        other_blanks=tuple(other_blanks),
        holes=(*placed.pattern, *added, *placed.holes),
        given_up=(*given_up, *placed.given_up),
        cleared=len(placed.given_up),
        accessories=lifted.parts,
        milled=placed.milled,
        kept_free=placed.kept_free,
        hardware=(),
        recesses=(),
        table=Table("none"),
        marks=coordinate_marks(spec.marking, kept, shop, usual),
        finish=usual("/plate/finish", spec.finish, shop.usual.finish, "the usual finish"),
        position_tolerance=usual(
            "/plate/position_tolerance", spec.position_tolerance, shop.usual.position_tolerance, "the usual tolerance"
        ),
        flatness=usual("/plate/flatness", spec.flatness, shop.usual.flatness, "the usual flatness"),
        setups=2,
    )


def _added(spec: Round, body: Body, shop: ShopData) -> list[HoleGroup]:
    """The centre bore and the bolt circles, in that order."""
    count = sum(circle.count for circle in spec.bolt_circles)
    if count > MAX_CIRCLE_HOLES:
        message = f"{count} holes on bolt circles; accepted: at most {MAX_CIRCLE_HOLES} together"
        raise refuse("/plate/bolt_circles", message)
    added = []
    centre = body.length / 2
    if not isinstance(spec.centre_bore, UnsetType):
        if spec.centre_bore >= body.length:
            raise refuse(
                "/plate/centre_bore", f"{spec.centre_bore.text} leaves no disc; accepted: less than the diameter"
            )
        bore = Bore(float(spec.centre_bore), body.thickness, it7(spec.centre_bore))
        added.append(HoleGroup("centre", Hole((bore,)), Points(((centre, centre),)), asked="/plate/centre_bore"))
    for index, circle in enumerate(spec.bolt_circles):
        if circle.diameter >= body.length:
            message = f"{circle.diameter.text} is not on the disc; accepted: less than its diameter"
            raise refuse(f"/plate/bolt_circles/{index}/diameter", message)
        holding = circle.kind == "holding"
        hole = (holding_hole if holding else tapped_hole)(circle.screw, body.thickness, shop)
        turns = (tau * place / circle.count for place in range(circle.count))
        at = tuple(
            (centre + circle.diameter / 2 * cos(turn), centre + circle.diameter / 2 * sin(turn)) for turn in turns
        )
        added.append(HoleGroup(circle.kind, hole, Points(at), mounting=holding, asked=f"/plate/bolt_circles/{index}"))
    return added


FAMILY = Family(contract=CONTRACT, title="Round plate", spec=Round, build=build, questions=ROUND)
