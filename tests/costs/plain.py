"""A plain plate and an invented shop of round figures, so that each golden is a sum one can do in the head."""

from datetime import date
from typing import Any, Final

from msgspec import Struct
from msgspec.structs import replace

from tallyplate.contract import (
    Blank,
    Body,
    Bore,
    Build,
    Charge,
    CostModule,
    Hole,
    HoleGroup,
    Line,
    Order,
    PerPiece,
    Points,
    ShopData,
    Table,
)
from tallyplate.contract.charges import Item
from tests.plates import installation

ALUMINIUM: Final = "al-6061-t6"
ORDER: Final = Order(3, date(2026, 6, 1))
"""Of three, so that a module which multiplied by the order would show."""

BODY: Final = Body(ALUMINIUM, 300.0, 200.0, 20.0, 60_000.0, 1_000.0, 1_200_000.0, 140_000.0)
"""300 x 200 x 20 mm: 60 000 mm2 in plan, 1000 mm around, 140 000 mm2 in all."""
BUILD: Final = Build(
    body=BODY,
    blank=Blank("plate", 310.0, 210.0, 25.0),
    holes=(),
    hardware=(),
    marks=(),
    recesses=(),
    table=Table("none"),
    finish="plain",
    position_tolerance=0.05,
    flatness=0.1,
    setups=2,
)

SIMPLE: Final = Hole((Bore(10.0, 20.0),))


def holes(count: int, *, hole: Hole = SIMPLE, kind: str = "tapped", mounting: bool = False) -> HoleGroup:
    """So many holes in a row, 10 mm apart."""
    return HoleGroup(kind, hole, Points(tuple((10.0 * place, 0.0) for place in range(count))), mounting=mounting)


def shop(*figures: Struct, **changed: Any) -> ShopData:
    """The demonstration's shop data, with these figures as all of its sections and what else is changed."""
    sections = {str(place): section for place, section in enumerate(figures)}
    return replace(installation().shops[0], sections=sections, **changed)


def bought(amount: int) -> Line:
    """An earlier line, for what was bought."""
    return Line(Item("stock", "metal", "piece", 0, PerPiece(amount, 2), "", ""), 1, amount)


def timed(amount: int) -> Line:
    """An earlier line, for time at the mill."""
    return Line(Item("holes", "drilling", "h", 4, PerPiece(amount, 2), "mill", ""), 1, amount)


def said(
    module: CostModule, build: Build, at: ShopData, rates: Any = None, earlier: tuple[Line, ...] = ()
) -> list[Charge]:
    """All that a module charges for a build."""
    return list(module.charges(build, ORDER, at, rates, earlier))


def seconds(charges: list[Charge]) -> list[tuple[str, str, float, float]]:
    """Work as charged: item, work centre, and whole milliseconds a plate and an order, as seconds."""
    return [
        (one.item, one.work_center, round(one.per_plate * 3600, 3), round(one.per_order * 3600, 3)) for one in charges
    ]
