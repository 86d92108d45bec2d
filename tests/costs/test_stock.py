"""Metal by the kilogram with scrap, two cuts, and the saw's time by the area that it cuts."""

import pytest
from msgspec.structs import replace

from tallyplate.contract import Percentage, PerKilogram, PerPiece, SquareMillimetresPerSecond
from tallyplate_plugins.costs.stock import MODULE, Figures, Rates
from tests.costs.plain import ALUMINIUM, BUILD, said, shop

SHOP = shop(
    Figures(Percentage(0.1), {"aluminium": SquareMillimetresPerSecond(125), "steel": SquareMillimetresPerSecond(25)})
)
METAL, CUT = PerKilogram(800, 2), PerPiece(350, 2)
RATES = Rates({ALUMINIUM: {"plate": METAL}}, CUT)


def test_a_blank_is_bought_by_its_mass_with_scrap_cut_twice_and_sawn_along_both_ways() -> None:
    metal, cuts, saw = said(MODULE, BUILD, SHOP, RATES)
    # 310 x 210 x 25 mm at 2700 kg/m3 is 4.394 25 kg, and a tenth more.
    assert (metal.item, metal.rate) == ("Aluminium 6061-T6, plate", METAL)
    assert metal.per_plate == pytest.approx(4.833675)
    assert (cuts.item, cuts.per_plate, cuts.rate) == ("saw cuts", 2, CUT)
    # (310 + 210) x 25 mm = 13 000 mm2, at 125 mm2/s.
    assert (saw.item, saw.work_center) == ("sawing", "saw")
    assert saw.per_plate * 3600 == pytest.approx(104)
    assert not any(charge.per_order or charge.lot for charge in (metal, cuts, saw))


def test_the_saw_takes_each_kind_of_metal_at_a_speed_of_its_own() -> None:
    steel = replace(BUILD, body=replace(BUILD.body, material="steel-1018"))
    *_, saw = said(MODULE, steel, SHOP, Rates({"steel-1018": {"plate": METAL}}, CUT))
    assert saw.per_plate * 3600 == pytest.approx(520)


def test_a_gap_is_a_form_in_stock_without_a_price_or_a_metal_that_the_saw_has_no_figure_for() -> None:
    two = shop(Figures(Percentage(0), {"aluminium": SquareMillimetresPerSecond(1)}))
    two = replace(two, materials={name: two.materials[name] for name in (ALUMINIUM, "steel-1018")})
    rates = Rates({ALUMINIUM: {"plate": METAL}}, CUT)
    assert MODULE.gaps is not None
    assert list(MODULE.gaps(rates, two)) == [
        "price.al-6061-t6.precision plate",
        "price.al-6061-t6.block",
        "price.steel-1018.plate",
        "price.steel-1018.block",
        "sawing.steel (shop data)",
    ]
