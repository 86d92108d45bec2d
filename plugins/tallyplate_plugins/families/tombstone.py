"""The tombstone: a block of two to six working faces that stands on a base flange, solid or hollow."""

from math import floor
from typing import Annotated, Literal

from msgspec import UNSET, Meta, Struct, UnsetType
from msgspec.structs import replace

from tallyplate.contract import (
    CONTRACT,
    Blank,
    Body,
    Build,
    Family,
    Field,
    Hardware,
    HoleGroup,
    Length,
    Marking,
    Pattern,
    PlateSpec,
    Points,
    Refusal,
    ShopData,
    Size,
    Table,
    Usual,
    coordinate_marks,
    holding_hole,
    lifting_hole,
    pattern,
    pin_hole,
    refuse,
)
from tallyplate_plugins.prisms import BACK_TO_BACK, Prism, on_base
from tallyplate_plugins.questions import TOMBSTONE
from tallyplate_plugins.supplied import Supplied, as_supplied

Screw = Annotated[str, Meta(title="Screw", min_length=1, max_length=60, examples=["M16", "5/8-11"])]


ROUNDING = 1e-9
"""Share by which two lengths may differ that are the same in text."""


class Base(Struct, frozen=True, forbid_unknown_fields=True):
    """The flange that the block stands on, held by four screws in a square and located by two pins below."""

    overhang: (
        Annotated[Length, Meta(title="Overhang", description="Beyond the block.", examples=["50 mm", "2 in"])]
        | UnsetType
    ) = UNSET
    thickness: Annotated[Length, Meta(title="Thickness of the base", examples=["40 mm", "1.5 in"])] | UnsetType = UNSET
    screw: Annotated[Screw, Meta(title="Holding screw")] | UnsetType = UNSET
    screw_spacing: (
        Annotated[Length, Meta(title="Spacing of the holding screws", examples=["200 mm", "8 in"])] | UnsetType
    ) = UNSET
    locate: Annotated[Literal["pins", "none"], Meta(title="Located by")] | UnsetType = UNSET


class Tombstone(PlateSpec, frozen=True, forbid_unknown_fields=True, tag="tombstone", kw_only=True):
    """A block of working faces on a base; face 1 looks to the right, the others follow counterclockwise from above."""

    faces: Annotated[int, Meta(title="Working faces", ge=2, le=6, examples=[4])]
    face_width: Annotated[Length, Meta(title="Width of a face", examples=["250 mm", "10 in"])]
    height: Annotated[Length, Meta(title="Height of a face above the base", examples=["450 mm", "18 in"])]
    depth: (
        Annotated[
            Length,
            Meta(title="Depth", description="Between two faces back to back.", examples=["120 mm", "5 in"]),
        ]
        | UnsetType
    ) = UNSET
    hollow: Annotated[bool, Meta(title="Hollow", description="Open at both ends.")] | UnsetType = UNSET
    wall: (
        Annotated[Length, Meta(title="Wall", description="Of a hollow block.", examples=["45 mm", "1.75 in"])]
        | UnsetType
    ) = UNSET
    made_from: (
        Annotated[
            Literal["stock", "casting", "cheaper"],
            Meta(title="Made from", description="cheaper: whichever of the two costs less."),
        ]
        | UnsetType
    ) = UNSET
    base: Annotated[Base, Meta(title="Base")] | UnsetType = UNSET
    pattern: Annotated[Pattern, Meta(title="Hole pattern of every face")] | UnsetType = UNSET
    patterns: (
        Annotated[
            tuple[Pattern | None, ...],
            Meta(title="Hole pattern of each face", description="null leaves a face bare.", max_length=6),
        ]
        | UnsetType
    ) = UNSET
    lifting_screw: Annotated[Screw, Meta(title="Thread of the lifting holes")] | UnsetType = UNSET
    marking: Annotated[Marking, Meta(title="Marking of every face")] | UnsetType = UNSET
    material_supplied: Supplied | UnsetType = UNSET


class Figures(Struct, frozen=True, forbid_unknown_fields=True):
    """What a tombstone usually has."""

    overhang: Size
    base_thickness: Size
    wall: Size
    depth: Size
    lifting_screw: str


def build(spec: Tombstone, shop: ShopData, usual: Usual) -> Build:
    """Lay out a tombstone: every face machined in one clamping with a turn to each, the base in another.

    Refuses what is not on offer, sizes that no stock holds, and a base whose screws the block would cover.
    """
    own = shop.figures(Figures)
    base = spec.base or Base()
    shop.require(
        ("/plate/material", spec.material, shop.materials),
        ("/plate/finish", spec.finish, shop.finishes),
        ("/plate/pattern/screw", spec.pattern.screw if spec.pattern else UNSET, shop.screws),
        *((f"/plate/patterns/{number}/screw", own.screw, shop.screws) for number, own in _own_patterns(spec)),
        ("/plate/base/screw", base.screw, shop.screws),
        ("/plate/lifting_screw", spec.lifting_screw, shop.screws),
    )
    prism = _prism(spec, own, usual)
    overhang = usual("/plate/base/overhang", base.overhang, _mm(own.overhang), "the usual flange")
    foot = usual("/plate/base/thickness", base.thickness, _mm(own.base_thickness), "the usual base")
    body = on_base(spec.material, prism, float(overhang), float(foot))
    blank, *others = as_supplied(_blanks(spec, body, shop, usual), spec.material_supplied)
    pattern_holes = _patterns(spec, prism, shop, usual)
    below, hardware, table = _mounted(base, body, prism, shop, usual)
    lifting = usual("/plate/lifting_screw", spec.lifting_screw, own.lifting_screw, "the usual lifting eyes")
    eyes = lifting_hole(lifting, shop, "/plate/lifting_screw")
    above = HoleGroup(
        "lifting", eyes, Points(prism.lifted_at), mounting=True, face="upper end", asked="/plate/lifting_screw"
    )
    return Build(
        body=body,
        blank=blank,
        other_blanks=tuple(others),
        holes=(*pattern_holes, *below, above),
        hardware=hardware,
        recesses=(),
        table=table,
        marks=coordinate_marks(spec.marking, pattern_holes, shop, usual),
        finish=usual("/plate/finish", spec.finish, shop.usual.finish, "the usual finish"),
        position_tolerance=usual(
            "/plate/position_tolerance", spec.position_tolerance, shop.usual.position_tolerance, "the usual tolerance"
        ),
        flatness=usual("/plate/flatness", spec.flatness, shop.usual.flatness, "the usual flatness"),
        setups=2,
        indexes=prism.faces,
    )


def _mm(size: float) -> Length:
    return Length(size, f"{size:g} mm")


def _prism(spec: Tombstone, own: Figures, usual: Usual) -> Prism:
    """The block; refuses answers that have no meaning for it, and walls that leave no hollow."""
    if spec.faces > BACK_TO_BACK and spec.depth is not UNSET:
        raise refuse("/plate/depth", "only two faces state how far they lie apart; accepted: leave it out")
    depth = usual("/plate/depth", spec.depth, _mm(own.depth), "the usual depth") if spec.faces == BACK_TO_BACK else 0.0
    solid = Prism(spec.faces, float(spec.face_width), float(spec.height), float(depth))
    if not usual("/plate/hollow", spec.hollow, False, "solid unless said"):
        if spec.wall is not UNSET:
            raise refuse("/plate/wall", "only a hollow block has walls; accepted: leave it out, or hollow true")
        return solid
    wall = usual("/plate/wall", spec.wall, _mm(own.wall), "the usual wall")
    room = min(solid.half if spec.faces == BACK_TO_BACK else (solid.reach,))
    if wall >= room * (1 - ROUNDING):
        raise refuse("/plate/wall", f"{wall.text} leaves no hollow; accepted: less than {room:.4g} mm")
    return replace(solid, wall=float(wall))


def _blanks(spec: Tombstone, body: Body, shop: ShopData, usual: Usual) -> tuple[Blank, ...]:
    """The stock, the casting, or both where the price is to decide."""
    made_from = usual("/plate/made_from", spec.made_from, "cheaper", "whichever costs less")
    cast = None if made_from == "stock" else shop.casting(body)
    if made_from == "casting":
        if cast:
            return (cast,)
        known = ", ".join(name for name, material in shop.materials.items() if material.casting)
        raise refuse("/plate/made_from", f"{body.material} is not cast; accepted: stock, or of {known}")
    if not cast:
        return shop.blanks(body)
    try:
        return (*shop.blanks(body), cast)
    except Refusal:
        return (cast,)


def _patterns(spec: Tombstone, prism: Prism, shop: ShopData, usual: Usual) -> tuple[HoleGroup, ...]:
    """The holes of every face: through the walls of a hollow block, no deeper than they must be in a solid one."""
    clear = prism.reach - shop.walls.between_holes / 2
    field = Field(
        prism.width,
        prism.height,
        prism.wall or clear,
        spec.material,
        blind=not prism.wall,
        corner=prism.corner,
    )
    faces = [face.name for face in prism.standing()]
    if isinstance(spec.patterns, UnsetType):
        alike = pattern(spec.pattern, field, shop, usual, pointer="/plate/pattern")
        return tuple(replace(group, face=face) for face in faces for group in alike)
    if spec.pattern is not UNSET:
        raise refuse("/plate/pattern", "each face has a pattern of its own; accepted: leave it out, or patterns")
    if len(spec.patterns) != len(faces):
        raise refuse("/plate/patterns", f"{len(spec.patterns)} patterns; accepted: one for each of {len(faces)} faces")
    return tuple(
        group
        for number, own in _own_patterns(spec)
        for group in pattern(own, field, shop, usual, pointer=f"/plate/patterns/{number}", face=faces[number])
    )


def _own_patterns(spec: Tombstone) -> list[tuple[int, Pattern]]:
    """The patterns that faces have to themselves, by the face's place from 0."""
    patterns = () if isinstance(spec.patterns, UnsetType) else spec.patterns
    return [(number, own) for number, own in enumerate(patterns) if own]


def _mounted(
    base: Base, body: Body, prism: Prism, shop: ShopData, usual: Usual
) -> tuple[list[HoleGroup], tuple[Hardware, ...], Table]:
    """Four holding screws in a square about the axis, and two pins on its middle line."""
    designation = usual("/plate/base/screw", base.screw, shop.usual.screw, "the shop's usual screw")
    screw = shop.screw(designation, "/plate/base/screw")
    inset = max(screw.counterbore, screw.locating) / 2 + shop.walls.to_edge
    most = min(body.length, body.width) - 2 * inset
    covered = 2 * min(prism.half) + screw.counterbore + 2 * shop.walls.between_holes
    if most < covered:
        message = f"the flange has no room for {designation} beside the block; accepted: a wider overhang"
        raise refuse("/plate/base/overhang", message)
    widest = _mm(max(floor(most), covered))
    spacing = usual("/plate/base/screw_spacing", base.screw_spacing, widest, "as wide as the flange lets")
    if not covered <= spacing <= most:
        message = f"{spacing.text} is under the block or off the base; accepted: {covered:.4g} to {most:.4g} mm"
        raise refuse("/plate/base/screw_spacing", message)
    locate = usual("/plate/base/locate", base.locate, "pins", "the usual way to locate a base")
    x, y, half = body.length / 2, body.width / 2, spacing / 2
    square = Points(((x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half)))
    holes = [HoleGroup("holding", holding_hole(designation, body.edge, shop), square, True, "base", "/plate/base")]
    hardware = [Hardware("holding_screw", designation, 4)]
    if locate == "pins":
        line = Points(((x - half, y), (x + half, y)))
        hole = pin_hole(designation, body.edge, shop, through=False)
        holes.append(HoleGroup("pin", hole, line, True, "bottom", "/plate/base"))
        hardware += [Hardware("round_pin", designation, 1), Hardware("relieved_pin", designation, 1)]
    return holes, tuple(hardware), Table("tapped_grid", 0.0, float(spacing), locate, designation)


FAMILY = Family(contract=CONTRACT, title="Tombstone", spec=Tombstone, build=build, figures=Figures, questions=TOMBSTONE)
