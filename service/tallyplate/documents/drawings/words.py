"""What a title block says of a build."""

from collections.abc import Iterator
from datetime import date
from typing import Final

from tallyplate.contract import Build, ShopData
from tallyplate.documents.drawings.blocks import wall_of
from tallyplate.documents.drawings.paper import DrawingOptions
from tallyplate.documents.drawings.title_block import Field, TitleBlock
from tallyplate.documents.measures import MEASURES, Measure
from tallyplate.documents.schedules.holes import given_up_names
from tallyplate.documents.schedules.milled import milled_words
from tallyplate.documents.schedules.parts import replacements
from tallyplate.units import decimal_text

UNITS: Final = {"mm": "millimetres", "in": "inches"}
PROJECTIONS: Final = {"first_angle": "first angle", "third_angle": "third angle"}

TOLD: Final = 12
"""Pockets, slots and cut-outs that notes tell at most; the schedule has them all."""

NAMED: Final = 8
"""Positions without a hole that a note names; the schedule has them all."""


def words(
    build: Build,
    shop: ShopData,
    quantity: int,
    as_of: date,
    options: DrawingOptions,
    scale: str,
    faults: tuple[str, ...],
) -> TitleBlock:
    """The title block of a drawing, its notes left out."""
    measure, body = MEASURES[options.unit], build.body
    sides = (body.length, body.thickness) if body.disc else (body.length, body.width, body.thickness)
    size = ("\u00d8" if body.disc else "") + " \u00d7 ".join(map(measure.size, sides))
    rows = (
        (Field("Drawing number", options.number, given=True), Field("Date", as_of.isoformat())),
        (Field("Material", shop.materials[body.material].title), Field("Finish", shop.finishes[build.finish].title)),
        (
            Field(f"Size, {measure.unit}", size),
            Field("Mass, holes not taken out", f"{decimal_text(shop.mass(body), 1)} kg"),
        ),
        (
            Field(f"Position of pattern holes, {measure.unit}", f"\u00d8{measure.tolerance(build.position_tolerance)}"),
            Field(f"Flatness, {measure.unit}", measure.tolerance(build.flatness)),
        ),
        (Field("Plates", str(quantity)), Field("Shop data", shop.id)),
        (Field("Projection", PROJECTIONS[options.projection]), Field("Scale", scale), Field("Unit", measure.unit)),
    )
    warning = f"NOT FOR MANUFACTURE: {', '.join(fault.replace('-', ' ') for fault in faults)}" if faults else ""
    return TitleBlock(options.title, rows, (), warning, first_angle=options.projection == "first_angle")


def notes(build: Build, shop: ShopData, measure: Measure, told: int = TOLD) -> Iterator[str]:
    """The notes, which tell at most so many pockets, slots and cut-outs one by one."""
    yield from _reworked(build, shop, measure)
    yield f"Dimensions in {UNITS[measure.unit]}. Every hole by name and place: see the hole schedule."
    yield "Tolerances of bores run from the stated size upward. Depths are from the face."
    for recess in build.recesses:
        size = " \u00d7 ".join(map(measure.size, (recess.length, recess.width)))
        kind = recess.kind.replace("_", " ") + ("s" if recess.count > 1 else "")
        yield f"{recess.count} {kind} {size}, {measure.size(recess.depth)} deep, {recess.face} face."
        if recess.at:
            yield f"Middles of {kind}: {'; '.join(f'{measure.size(x)}, {measure.size(y)}' for x, y in recess.at)}."
    if build.body.corner:
        yield f"Upright corners R{measure.size(build.body.corner)}."
    if build.body.chamfer:
        yield f"Edges of both faces chamfered {measure.size(build.body.chamfer)} \u00d7 45\u00b0."
    if build.body.faces and build.body.rim:
        yield f"Base {measure.size(build.body.rim)} thick."
    if wall := wall_of(build.body):
        yield f"Hollow, open at both ends; wall {measure.size(wall)} under every face."
    for one in build.milled[:told]:
        yield f"{milled_words(one, measure)}."
    if len(build.milled) > told:
        yield f"{len(build.milled) - told} more pockets, slots and cut-outs: see the hole schedule."
    names = [name for _, name in given_up_names(build)]
    if names:
        more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
        others = "features and other holes" if build.cleared else "other holes"
        yield f"No hole at {', '.join(names[:NAMED])}{more}: {others} need the room."


def _reworked(build: Build, shop: ShopData, measure: Measure) -> Iterator[str]:
    if build.blank.existing:
        yield "Rework: the plate exists and is not cut to size; what is drawn here is added to it."
    for part in replacements(build, shop, 1, measure):
        yield f"Press out what is worn and fit {part.each} \u00d7 {part.item.lower()} {part.designation}."
