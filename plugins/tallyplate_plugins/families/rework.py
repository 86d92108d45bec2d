"""Rework of a flat plate that exists: more holes, and new bushings in the place of worn ones.

Nothing is sawn or squared. The plate comes in, is looked over, and is set up by its own holes.
"""

from typing import Annotated, Literal

from msgspec import UNSET, Meta, Struct, UnsetType
from msgspec.structs import replace

from tallyplate.contract import (
    CONTRACT,
    Blank,
    Build,
    Family,
    Field,
    Hardware,
    HoleGroup,
    Length,
    Marking,
    Pattern,
    PlateSpec,
    Point,
    Points,
    ShopData,
    Table,
    Usual,
    combination_hole,
    coordinate_marks,
    flat_body,
    locating_hole,
    pattern,
    refuse,
    tapped_hole,
)
from tallyplate_plugins.questions import REWORK

Screw = Annotated[str, Meta(title="Screw", min_length=1, max_length=60, examples=["M12", "1/2-13"])]

EXISTING = "existing plate"
"""The form of a blank that is no stock."""


class Added(Struct, frozen=True, forbid_unknown_fields=True):
    """Holes of one kind to be added, each where it is said."""

    kind: Annotated[Literal["tapped", "locating", "combination"], Meta(title="Kind")]
    screw: Screw
    at: Annotated[
        tuple[Point, ...],
        Meta(title="Centres", min_length=1, max_length=100, examples=[[{"x": "40 mm", "y": "40 mm"}]]),
    ]


class Replaced(Struct, frozen=True, forbid_unknown_fields=True):
    """Bushings to be pressed out and replaced, by the screw that they go with."""

    screw: Screw
    count: Annotated[int, Meta(title="Bushings", ge=1, le=10_000, examples=[8])]


class Rework(PlateSpec, frozen=True, forbid_unknown_fields=True, tag="rework", kw_only=True):
    """A rectangular plate that exists, and what shall be done to it."""

    length: Annotated[Length, Meta(title="Length", examples=["600 mm", "24 in"])]
    width: Annotated[Length, Meta(title="Width", examples=["400 mm", "16 in"])]
    thickness: Annotated[Length, Meta(title="Thickness", examples=["40 mm", "1.9 in"])]
    pattern: Annotated[Pattern, Meta(title="Hole pattern to be added")] | UnsetType = UNSET
    holes: Annotated[tuple[Added, ...], Meta(title="Holes to be added", max_length=12)] = ()
    marking: Annotated[Marking, Meta(title="Marking to be added")] | UnsetType = UNSET
    bushings: Annotated[tuple[Replaced, ...], Meta(title="Bushings to be replaced", max_length=12)] = ()


def build(spec: Rework, shop: ShopData, usual: Usual) -> Build:
    """What is done to the plate; refuses materials and screws that are not on offer, and holes off the plate."""
    shop.require(
        ("/plate/material", spec.material, shop.materials),
        ("/plate/finish", spec.finish, shop.finishes),
        ("/plate/pattern/screw", spec.pattern.screw if spec.pattern else UNSET, shop.screws),
        *((f"/plate/holes/{place}/screw", one.screw, shop.screws) for place, one in enumerate(spec.holes)),
        *((f"/plate/bushings/{place}/screw", one.screw, shop.screws) for place, one in enumerate(spec.bushings)),
    )
    box = (float(spec.length), float(spec.width), float(spec.thickness))
    body = flat_body(spec.material, box, spec.length * spec.width, 2 * (spec.length + spec.width))
    field = Field(body.length, body.width, body.thickness, spec.material)
    marking = spec.marking
    if marking and marking.edges is UNSET:
        marking = replace(marking, edges=())  # what the plate bears already is not engraved again
    lattices = pattern(spec.pattern, field, shop, usual, pointer="/plate/pattern") if spec.pattern else ()
    return Build(
        body=body,
        blank=Blank(EXISTING, *box, supplied=True, existing=True),
        holes=(*lattices, *(_added(one, place, spec, shop) for place, one in enumerate(spec.holes))),
        replaced=tuple(Hardware("bushing", one.screw, one.count) for one in spec.bushings),
        hardware=(),
        marks=coordinate_marks(marking, lattices, shop, usual) if marking else (),
        recesses=(),
        table=Table("none"),
        finish=usual("/plate/finish", spec.finish, shop.usual.finish, "it keeps the finish that it has"),
        position_tolerance=usual(
            "/plate/position_tolerance", spec.position_tolerance, shop.usual.position_tolerance, "the usual tolerance"
        ),
        flatness=usual("/plate/flatness", spec.flatness, shop.usual.flatness, "the usual flatness"),
        setups=1,
    )


def _added(of: Added, place: int, spec: Rework, shop: ShopData) -> HoleGroup:
    """Holes one by one; refuses a centre that is not on the plate."""
    for number, point in enumerate(of.at):
        for axis, at, size in (("x", point.x, spec.length), ("y", point.y, spec.width)):
            if not 0 < at < size:
                message = f"{at.text} is not on the plate; accepted: more than 0 and less than {size.text}"
                raise refuse(f"/plate/holes/{place}/at/{number}/{axis}", message)
    thickness, bushed = float(spec.thickness), shop.materials[spec.material].bushed
    hole = {
        "tapped": lambda: tapped_hole(of.screw, thickness, shop),
        "locating": lambda: locating_hole(of.screw, thickness, shop, bushed=bushed),
        "combination": lambda: combination_hole(of.screw, thickness, shop, bushed=bushed),
    }[of.kind]()
    layout = Points(tuple((float(point.x), float(point.y)) for point in of.at))
    return HoleGroup(of.kind, hole, layout, asked=f"/plate/holes/{place}")


FAMILY = Family(contract=CONTRACT, title="Rework of a plate", spec=Rework, build=build, questions=REWORK, existing=True)
