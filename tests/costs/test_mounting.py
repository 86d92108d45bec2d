"""What holds and locates a plate: parts by the piece, their holes and seats at the mill, fitting at the bench."""

import pytest
from msgspec.structs import replace

from tallyplate.contract import (
    Bore,
    CubicMillimetresPerSecond,
    Hardware,
    Hole,
    Length,
    PerPiece,
    Recess,
    Seconds,
)
from tallyplate_plugins.costs.mounting import MODULE, Figures, Rates
from tests.costs.plain import ALUMINIUM, BUILD, holes, said, seconds, shop

SHOP = shop(Figures(fitting={"key": Seconds(150), "round_pin": Seconds(60)}))
METAL = SHOP.materials[ALUMINIUM]
SHOP = replace(
    SHOP,
    materials={ALUMINIUM: replace(METAL, speeds=replace(METAL.speeds, removal=CubicMillimetresPerSecond(100)))},
    machine=replace(SHOP.machine, tool_change=Seconds(5)),
    cutting=replace(SHOP.cutting, bore_below=Length(0.03, "0.03 mm")),
)
KINDS = {kind: PerPiece(100 * place, 2) for place, kind in enumerate(Rates.__struct_fields__, start=1)}
RATES = Rates(**{kind: {"M12": price, "M16": price} for kind, price in KINDS.items()})


def test_parts_are_bought_by_the_piece_and_those_that_are_fitted_take_the_bench() -> None:
    parts = (Hardware("holding_screw", "M12", 6), Hardware("key", "M16", 2), Hardware("round_pin", "M12", 1))
    *bought, fitting = said(MODULE, replace(BUILD, hardware=parts), SHOP, RATES)
    assert [(one.item, one.per_plate, one.rate, one.work_center) for one in bought] == [
        ("holding screws M12", 6, KINDS["holding_screw"], ""),
        ("slot keys M16", 2, KINDS["key"], ""),
        ("round locating pins M12", 1, KINDS["round_pin"], ""),
    ]
    assert seconds([fitting]) == [("fitting locators", "bench", 2 * 150 + 60, 0)]


def test_parts_that_are_merely_packed_take_no_fitting() -> None:
    (screws,) = said(MODULE, replace(BUILD, hardware=(Hardware("t_nut", "M12", 4),)), SHOP, RATES)
    assert screws.item == "T-nuts M12"


def test_seats_are_milled_out_with_one_tool_change_for_the_lot() -> None:
    seats = replace(BUILD, recesses=(Recess("key_seat", 50.0, 20.0, 6.0, 2),))
    # Twice 50 x 20 x 6 mm at 100 mm3/s, and 5 s.
    assert seconds(said(MODULE, seats, SHOP, RATES)) == [("key seats", "mill", 120 + 5, 0)]


def test_only_mounting_holes_are_charged_here() -> None:
    groups = (holes(3), holes(2, kind="holding", mounting=True))
    (charge,) = said(MODULE, replace(BUILD, holes=groups), SHOP, RATES)
    assert (charge.item, charge.work_center, charge.basis.split(":")[0]) == ("holding holes", "mill", "2 a plate")


@pytest.mark.parametrize(("tolerance", "bored"), [(0.03, False), (0.029, True)])
def test_pin_holes_are_bored_below_a_position_tolerance_and_not_at_it(tolerance: float, bored: bool) -> None:
    pins = holes(2, kind="pin", hole=Hole((Bore(16.0, 20.0, 0.018),)), mounting=True)
    (charge,) = said(MODULE, replace(BUILD, holes=(pins,), position_tolerance=tolerance), SHOP, RATES)
    assert ("bore " in charge.basis) == bored


def test_a_gap_is_a_screw_for_which_a_part_has_no_price() -> None:
    two = replace(SHOP, screws={name: SHOP.screws[name] for name in ("M10", "M12")})
    rates = replace(RATES, key={"M10": KINDS["key"], "M12": KINDS["key"]})
    assert MODULE.gaps is not None
    assert list(MODULE.gaps(rates, two)) == [f"{kind}.M10" for kind in KINDS if kind != "key"]
