"""Machine tables and bushings of the demonstration's shop data against the standards' tables."""

import pytest

from tallyplate.contract import ShopData

# Throat width in mm by the size of T-bolt. Inch: ASME B5.1M-1985 (verified, engineersedge.com 13508); metric: BS 2485,
# the series of ISO 299 (verified, engineersedge.com 14595). Tapped nuts of the metric series have the bolt's size
# (BS 2485, verified, engineersedge.com 14596); those of the inch series are one size smaller (from memory), so that
# an inch table here gives the size of T-bolt.
THROATS = {
    "3/8-16": 0.438 * 25.4,
    "1/2-13": 0.562 * 25.4,
    "5/8-11": 0.688 * 25.4,
    "M10": 12.0,
    "M12": 14.0,
    "M16": 18.0,
}

# Standard distances in mm between slots of 18 mm: BS 2485 (verified, engineersedge.com 14595).
SPACINGS_OF_18_MM = (63.0, 80.0, 100.0, 125.0)

# All of them by the size of T-bolt, those to be avoided too; ASME B5.1M states none.
SPACINGS = {
    "M10": (40.0, 50.0, 63.0, 80.0),
    "M12": (50.0, 63.0, 80.0, 100.0),
    "M16": SPACINGS_OF_18_MM,
}

# Body of a type P press-fit bushing in inches, nominal: (least body, lengths). ASME B94.33
# (verified, amesweb.info).
B94_33 = {
    0.75: (0.7515, (0.5, 0.75, 1, 1.375, 1.75, 2.125)),
    0.875: (0.8765, (0.5, 0.75, 1, 1.375, 1.75, 2.125)),
    1.0: (1.0015, (0.5, 0.75, 1, 1.375, 1.75, 2.125, 2.5)),
}

# Bores over and up to mm: (outside diameter, lengths). ISO 4247 / DIN 179 (from memory).
ISO_4247 = {
    (10, 12): (18.0, (12.0, 20.0, 25.0)),
    (12, 15): (22.0, (16.0, 28.0, 36.0)),
    (15, 18): (26.0, (16.0, 28.0, 36.0)),
    (18, 22): (30.0, (20.0, 36.0, 45.0)),
}


def test_every_slot_on_offer_is_as_wide_as_the_standard_makes_it_for_its_screw(shop: ShopData) -> None:
    assert {slot.screw: pytest.approx(slot.width, abs=0.001) for slot in shop.t_slots} == THROATS


def test_a_screw_of_each_slot_passes_its_throat(shop: ShopData) -> None:
    for slot in shop.t_slots:
        assert shop.screws[slot.screw].major < slot.width


def test_slots_are_spaced_as_the_standard_says(shop: ShopData) -> None:
    assert {slot.screw: slot.spacings for slot in shop.t_slots} == {screw: SPACINGS.get(screw, ()) for screw in THROATS}


def test_the_usual_table_is_a_standard_one(shop: ShopData) -> None:
    assert shop.usual.slot_width == 18.0
    assert shop.usual.slot_spacing in SPACINGS_OF_18_MM


@pytest.mark.parametrize("screw", ["3/8-16", "1/2-13", "5/8-11"])
def test_an_inch_bushing_is_a_standard_one_and_presses_into_its_hole(screw: str, shop: ShopData) -> None:
    sizes = shop.screws[screw]
    least, lengths = B94_33[round(sizes.bushing_outside / 25.4, 6)]
    assert round(sizes.bushing_length / 25.4, 6) in lengths
    assert sizes.bushing_outside + sizes.bushing_tolerance < least * 25.4, "the smallest bushing in the largest hole"


@pytest.mark.parametrize("screw", ["M10", "M12", "M16"])
def test_a_metric_bushing_has_the_standards_outside_and_length_for_its_bore(screw: str, shop: ShopData) -> None:
    sizes = shop.screws[screw]
    outside, lengths = next(row for (over, up_to), row in ISO_4247.items() if over < sizes.locating <= up_to)
    assert sizes.bushing_outside == outside
    assert sizes.bushing_length in lengths
