"""The hole schedule as tables: holes, types of hole and parts, as CSV one of them and as XLSX all."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Final, Literal

from tallyplate.contract import Build, Hole, Services, ShopData
from tallyplate.documents.measures import Measure
from tallyplate.documents.schedules.holes import hole_types, named_holes
from tallyplate.documents.schedules.milled import milled_rows
from tallyplate.documents.schedules.parts import parts
from tallyplate.documents.schedules.steps import in_words, steps
from tallyplate.documents.streams import Rows
from tallyplate.documents.tables import Cell

TableName = Literal["holes", "types", "parts", "features"]


PARTS: Final[tuple[tuple[str, int], ...]] = (
    ("item", 28), ("kind", 18), ("designation", 60), ("standard", 14), ("each plate", 12), ("whole order", 12),
)  # fmt: skip


def table(
    name: TableName,
    build: Build,
    shop: ShopData,
    quantity: int,
    measure: Measure,
    services: Services | None = None,
) -> Rows:
    """One of the tables."""
    unit, columns = measure.unit, PARTS
    if name == "holes":
        columns = (
            ("name", 14), ("face", 10), ("kind", 16), ("type", 6), (f"x {unit}", 14), (f"y {unit}", 14),
            (f"steps {unit}", 60), (f"position tolerance {unit}", 26),
        )  # fmt: skip
        return Rows("Holes", columns, _holes(build, measure))
    if name == "types":
        columns = (
            ("type", 6), ("faces", 24), ("kind", 16), ("each plate", 12), (f"steps {unit}", 60), ("fitted", 28),
            (f"position tolerance {unit}", 26),
        )  # fmt: skip
        return Rows("Types of hole", columns, _types(build, measure))
    if name == "features":
        columns = (("feature", 14), ("face", 10), (f"size {unit}", 60), (f"x {unit}", 14), (f"y {unit}", 14))
        return Rows("Features", columns, milled_rows(build, measure))
    found = parts(build, shop, quantity, measure, services)
    rows = ((p.item, _blanks(p.kind), p.designation, p.standard, p.each, p.total) for p in found)
    return Rows("Parts", columns, rows)


def all_tables(
    build: Build, shop: ShopData, quantity: int, measure: Measure, services: Services | None = None
) -> Iterator[Rows]:
    """The tables in the order of a workbook's sheets."""
    names: tuple[TableName, ...] = ("holes", "types", "parts")
    for name in (*names, "features") if build.milled else names:
        yield table(name, build, shop, quantity, measure, services)


def _holes(build: Build, measure: Measure) -> Iterator[tuple[Cell, ...]]:
    zone = Decimal(measure.tolerance(build.position_tolerance))
    types = {
        one.number: (_blanks(one.kind), one.number, _words(one.hole, measure), "" if one.mounting else zone)
        for one in hole_types(build)
    }
    for hole in named_holes(build):
        kind, number, words, tolerance = types[hole.type]
        yield hole.name, hole.face, kind, number, measure.decimal(hole.x), measure.decimal(hole.y), words, tolerance


def _types(build: Build, measure: Measure) -> Iterator[tuple[Cell, ...]]:
    zone = Decimal(measure.tolerance(build.position_tolerance))
    for one in hole_types(build):
        words, fitted = _words(one.hole, measure), ", ".join(map(_blanks, one.hole.parts))
        yield (
            one.number, ", ".join(one.faces), _blanks(one.kind), one.count, words, fitted, "" if one.mounting else zone
        )  # fmt: skip


def _blanks(kind: str) -> str:
    """A kind as people read it."""
    return kind.replace("_", " ")


def _words(hole: Hole, measure: Measure) -> str:
    return "; ".join(map(in_words, steps(hole, measure)))
