"""The flat rectangular plate: a lattice of holes on its top face, mounted on its bottom face."""

from typing import Annotated

from msgspec import UNSET, Meta, UnsetType

from tallyplate.contract import (
    CONTRACT,
    Build,
    EdgeChamfer,
    Family,
    Features,
    Field,
    Handles,
    Length,
    LiftingEyes,
    LiftingHoles,
    LiftingScrew,
    Marking,
    Mounting,
    Pattern,
    PlateSpec,
    ShopData,
    Usual,
    Zones,
    coordinate_marks,
    edged,
    featured,
    flat_body,
    handled,
    mounting,
    number_of,
    on_table,
    patterned,
)
from tallyplate_plugins.questions import RECTANGULAR
from tallyplate_plugins.supplied import Supplied, as_supplied


class Rectangular(PlateSpec, frozen=True, forbid_unknown_fields=True, tag="rectangular", kw_only=True):
    """A rectangular plate, length along the machine's table slots."""

    length: Annotated[Length, Meta(title="Length", examples=["600 mm", "24 in"])]
    width: Annotated[Length, Meta(title="Width", examples=["400 mm", "16 in"])]
    thickness: Annotated[Length, Meta(title="Finished thickness", examples=["40 mm", "1.9 in"])] | UnsetType = UNSET
    pattern: Annotated[Pattern, Meta(title="Hole pattern")] | UnsetType = UNSET
    mounting: Annotated[Mounting, Meta(title="Mounting on the machine")] | UnsetType = UNSET
    marking: Annotated[Marking, Meta(title="Marking")] | UnsetType = UNSET
    zones: Zones = ()
    features: Features = ()
    corner_radius: Annotated[Length, Meta(title="Corner radius", examples=["10 mm"])] | UnsetType = UNSET
    edge_chamfer: EdgeChamfer | UnsetType = UNSET
    lifting_holes: LiftingHoles = "none"
    lifting_screw: LiftingScrew | UnsetType = UNSET
    lifting_eyes: LiftingEyes | UnsetType = UNSET
    handles: Handles = "none"
    material_supplied: Supplied | UnsetType = UNSET


def build(spec: Rectangular, shop: ShopData, usual: Usual) -> Build:
    """Lay out a rectangular plate. Turned over once to be made: its top carries the pattern, its bottom the mounting.

    Refuses materials, screws and finishes that are not on offer, and sizes that no stock or lattice fits.
    """
    shop.require(
        ("/plate/material", spec.material, shop.materials),
        ("/plate/finish", spec.finish, shop.finishes),
        ("/plate/pattern/screw", spec.pattern.screw if spec.pattern else UNSET, shop.screws),
        *(
            (f"/plate/zones/{number}/pattern/screw", zone.pattern.screw, shop.screws)
            for number, zone in enumerate(spec.zones)
            if zone.pattern
        ),
        ("/plate/mounting/screw", spec.mounting.screw if spec.mounting else UNSET, shop.screws),
    )
    thickness = usual("/plate/thickness", spec.thickness, shop.usual.thickness, "what the usual stock leaves")
    box = (spec.length.mm, spec.width.mm, thickness.mm)
    body = flat_body(spec.material, box, spec.length * spec.width, 2 * (spec.length + spec.width))
    body = edged(body, spec.corner_radius, spec.edge_chamfer, shop)
    blank, *other_blanks = as_supplied(shop.blanks(body), spec.material_supplied)
    field = Field(body.length, body.width, body.thickness, spec.material)
    field = on_table(field, (spec.pattern, *(zone.pattern for zone in spec.zones)), spec.mounting, shop)
    laid_out = patterned(spec.pattern, spec.zones, field, shop, usual)
    lifted = handled(body, shop, usual, spec.lifting_holes, spec.lifting_screw, spec.lifting_eyes, spec.handles)
    placed = featured(spec.features, body, laid_out.holes, shop, usual, lifted.holes)
    mounted = mounting(spec.mounting, field, placed.pattern, shop, usual, placed=placed.outlines)
    return Build(
        body=body,
        blank=blank,
        other_blanks=tuple(other_blanks),
        given_up=placed.given_up + mounted.given_up,
        cleared=number_of(placed.given_up),
        holes=(*mounted.holes, *placed.holes),
        zones=laid_out.zones,
        accessories=lifted.parts,
        milled=placed.milled,
        kept_free=placed.kept_free,
        hardware=mounted.hardware,
        recesses=mounted.recesses,
        table=mounted.table,
        marks=coordinate_marks(spec.marking, laid_out.holes, shop, usual),
        finish=usual("/plate/finish", spec.finish, shop.usual.finish, "the usual finish"),
        position_tolerance=usual(
            "/plate/position_tolerance", spec.position_tolerance, shop.usual.position_tolerance, "the usual tolerance"
        ),
        flatness=usual("/plate/flatness", spec.flatness, shop.usual.flatness, "the usual flatness"),
        setups=2,
    )


FAMILY = Family(contract=CONTRACT, title="Rectangular plate", spec=Rectangular, build=build, questions=RECTANGULAR)
