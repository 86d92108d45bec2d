"""The corner plate: a rectangle without its upper right corner, to stand around a machine's column. Lengths are mm."""

from pathlib import Path
from typing import Annotated, Final

from msgspec import UNSET, Meta, Struct, UnsetType
from msgspec.structs import replace

from tallyplate.contract import (
    Body,
    Build,
    Family,
    Fault,
    Field,
    Hardware,
    HoleGroup,
    Lattice,
    Length,
    Marking,
    Pattern,
    PlateSpec,
    Points,
    Refusal,
    ShopData,
    Table,
    Usual,
    coordinate_marks,
    giving_way,
    holding_hole,
    pattern,
    refuse,
)

MOST: Final = 2000
"""Most rows and most columns of holes, for each row is looked at."""

SLACK: Final = 1e-7
"""Millimetres by which a hole may come too near to the notch, for the sake of binary fractions."""


class Figures(Struct, frozen=True, forbid_unknown_fields=True):
    """How wide each arm beside the notch must at least be."""

    least_arm: Length


class Notch(Struct, frozen=True, forbid_unknown_fields=True):
    """The corner that is left out."""

    length: Annotated[Length, Meta(title="Notch length", examples=["200 mm", "8 in"])]
    width: Annotated[Length, Meta(title="Notch width", examples=["150 mm", "6 in"])]


class Corner(PlateSpec, frozen=True, forbid_unknown_fields=True, tag="corner", kw_only=True):
    """A plate without its upper right corner."""

    length: Annotated[Length, Meta(title="Length", examples=["600 mm", "24 in"])]
    width: Annotated[Length, Meta(title="Width", examples=["400 mm", "16 in"])]
    notch: Annotated[Notch, Meta(title="Notch", examples=[{"length": "200 mm", "width": "150 mm"}])]
    thickness: Annotated[Length, Meta(title="Finished thickness", examples=["40 mm", "1.9 in"])] | UnsetType = UNSET
    pattern: Annotated[Pattern, Meta(title="Hole pattern")] | UnsetType = UNSET
    holding_screw: (
        Annotated[
            str,
            Meta(
                title="Holding screw",
                description="For a screw at each of the five outer corners; none where it is not given.",
                min_length=1,
                max_length=60,
                examples=["M12", "1/2-13"],
            ),
        ]
        | UnsetType
    ) = UNSET
    marking: Annotated[Marking, Meta(title="Marking")] | UnsetType = UNSET


def build(spec: Corner, shop: ShopData, usual: Usual) -> Build:
    """Lay out a corner plate; refuses what is not on offer, and a notch that leaves too thin an arm."""
    shop.require(
        ("/plate/material", spec.material, shop.materials),
        ("/plate/finish", spec.finish, shop.finishes),
        ("/plate/pattern/screw", spec.pattern.screw if spec.pattern else UNSET, shop.screws),
        ("/plate/holding_screw", spec.holding_screw, shop.screws),
    )
    _refuse_thin_arms(spec, shop.figures(Figures).least_arm)
    thickness = usual("/plate/thickness", spec.thickness, shop.usual.thickness, "what the usual stock leaves")
    body = _body(spec, float(thickness))
    blank, *other_blanks = shop.blanks(body)
    field = Field(body.length, body.width, body.thickness, spec.material)
    whole = pattern(spec.pattern, field, shop, usual, pointer="/plate/pattern")
    margin = float(spec.pattern.margin) if spec.pattern and spec.pattern.margin else 0.0
    notched = tuple(group for group in (_notched(group, spec, margin, shop) for group in whole) if group.count)
    holding = _holding(spec, body, shop)
    kept, given_up = giving_way(notched, holding, shop)
    return Build(
        body=body,
        blank=blank,
        other_blanks=tuple(other_blanks),
        holes=(*kept, *holding),
        given_up=given_up,
        hardware=tuple(Hardware("holding_screw", str(spec.holding_screw), group.count) for group in holding),
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


def _refuse_thin_arms(spec: Corner, least: Length) -> None:
    sides = (("length", spec.length, spec.notch.length), ("width", spec.width, spec.notch.width))
    faults = [
        Fault(f"/plate/notch/{name}", f"{cut.text} of {side.text} leaves too thin an arm; accepted: {least.text} left")
        for name, side, cut in sides
        if side - cut < least
    ]
    if faults:
        raise Refusal(*faults)


def _body(spec: Corner, thickness: float) -> Body:
    area = spec.length * spec.width - spec.notch.length * spec.notch.width
    around = 2 * (spec.length + spec.width)
    return Body(
        material=spec.material,
        length=float(spec.length),
        width=float(spec.width),
        thickness=thickness,
        plan_area=area,
        perimeter=around,
        volume=area * thickness,
        surface=2 * area + around * thickness,
    )


def _notched(group: HoleGroup, spec: Corner, margin: float, shop: ShopData) -> HoleGroup:
    """The holes of a group that the notch leaves: rows beside it end before it, by the margin or the wall."""
    layout = group.layout
    if not isinstance(layout, Lattice):
        return group
    if max(layout.rows, layout.columns) > MOST:
        message = f"makes {layout.columns} x {layout.rows} holes; accepted: a pitch that makes at most {MOST} each way"
        raise refuse("/plate/pattern/pitch", message)
    clear = max(margin, group.hole.widest / 2 + shop.walls.to_edge) - SLACK
    right, upper = spec.length - spec.notch.length - clear, spec.width - spec.notch.width - clear
    columns = [column for column in range(layout.columns) if layout.position((column, 0))[0] <= right]
    rows = (layout.position((0, row))[1] <= upper for row in range(layout.rows))
    spans = tuple((0, layout.columns - 1 if below else len(columns) - 1) for below in rows)
    return replace(group, layout=replace(layout, spans=spans))


def _holding(spec: Corner, body: Body, shop: ShopData) -> list[HoleGroup]:
    """Counterbored holes at the outer corners, as near to the edges as walls allow."""
    if isinstance(spec.holding_screw, UnsetType):
        return []
    hole = holding_hole(spec.holding_screw, body.thickness, shop)
    inset = hole.widest / 2 + shop.walls.to_edge
    right, upper = body.length - inset, body.width - inset
    at = (
        (inset, inset),
        (right, inset),
        (right, upper - spec.notch.width),
        (right - spec.notch.length, upper),
        (inset, upper),
    )
    return [HoleGroup("holding", hole, Points(at), mounting=True)]


FAMILY = Family(
    contract=1,
    title="Corner plate",
    spec=Corner,
    build=build,
    figures=Figures,
    example_figures=Path(__file__).with_name("corner.toml").read_text("utf-8"),
)
