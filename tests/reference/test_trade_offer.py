"""What the trade expects a shop to offer and to take for granted (common practice, no source)."""

import pytest

from tallyplate.contract import ShopData
from tallyplate.installation import Installation
from tests.reference.plates import SAID, built, lines, priced
from tests.reference.shops import INCH

OFFERED = {
    "aluminium": 4,  # several alloys, cast tooling plate among them
    "steel": 2,  # mild and alloy
    "iron": 1,
    "plastic": 1,
}


def test_plastic_aluminium_steel_and_iron_are_on_offer(shop: ShopData) -> None:
    groups = [material.group for material in shop.materials.values()]
    assert {group: groups.count(group) for group in set(groups)} == OFFERED
    titles = " ".join(material.title for material in shop.materials.values())
    for expected in ("Cast aluminium tooling plate", "Mild steel", "Alloy steel", "Grey cast iron", "plastic"):
        assert expected in titles


def test_every_material_on_offer_can_be_priced(installation: Installation, shop: ShopData) -> None:
    for material in shop.materials:
        assert float(priced(installation, **SAID, material=material).total) > 0, material


def test_a_plate_is_usually_an_inch_and_nine_tenths_thick(installation: Installation, shop: ShopData) -> None:
    assert built(installation, shop, **SAID, material="al-6061-t6").body.thickness == pytest.approx(1.9 * INCH)


def test_a_usual_plate_is_cut_from_two_inch_stock_whatever_its_material(
    installation: Installation, shop: ShopData
) -> None:
    for material in shop.materials:
        plate = built(installation, shop, **SAID, material=material)
        for blank in (plate.blank, *plate.other_blanks):
            assert blank.thickness == pytest.approx(2.0 * INCH), material


def test_rows_and_columns_are_marked_as_standard_on_two_sides(installation: Installation) -> None:
    marked = lines(priced(installation, **SAID, material="steel-1018"))
    assert {"engraving left side", "engraving bottom side"} <= set(marked)
    assert "engraving right side" not in marked


def test_rows_and_columns_can_be_marked_on_every_side(installation: Installation) -> None:
    edges = ["left", "right", "bottom", "top"]
    marked = lines(priced(installation, **SAID, material="steel-1018", marking={"edges": edges}))
    for one, other in (("left", "right"), ("bottom", "top")):
        assert marked[f"engraving {one} side"].quantity == marked[f"engraving {other} side"].quantity


def test_a_plate_need_not_be_marked(installation: Installation) -> None:
    marked = lines(priced(installation, **SAID, material="steel-1018", marking={"edges": []}))
    assert not [item for item in marked if "engraving" in item]
