"""Face milling against published worked examples."""

from datetime import date
from math import pi

import pytest
from msgspec.structs import replace

from tallyplate.contract import Blank, Millimetres, MillimetresPerSecond, Order, Percentage, ShopData
from tallyplate.installation import Installation
from tallyplate.pricing import Modules, price
from tallyplate.rates.card import RateCard
from tallyplate_plugins.costs.squaring import MODULE as SQUARING
from tallyplate_plugins.costs.squaring import Figures, face_pass
from tests.reference.plates import built


def test_a_face_narrower_than_the_cutter_is_milled_in_one_pass() -> None:
    # Work 300 x 100 mm, cutter 200 mm, vf 800 mm/min: L 500 mm, 37.5 s (verified: Mitsubishi Materials, face milling).
    assert face_pass(300.0, 100.0, 200.0, overlap=0.0, feed_speed=800 / 60) == pytest.approx(37.5)


def test_a_flat_as_wide_as_the_cutter_is_milled_over_its_length_and_the_cutter() -> None:
    # Cutter 30 mm, 120 mm/min, 321 mm of travel in all: 2.68 min (verified: El-Hofy, Fundamentals of Machining
    # Processes 2nd ed. p. 189). Travel = 291 mm of work and the cutter's 30 mm (our reading).
    assert face_pass(291.0, 30.0, 30.0, overlap=0.0, feed_speed=120 / 60) / 60 == pytest.approx(2.68, abs=0.006)


@pytest.mark.parametrize(
    ("tooth", "teeth", "turns", "table_feed"),
    [
        (0.25, 16, 200, 800),  # verified: Mitsubishi Materials, face milling
        (0.1, 10, 500, 500),  # verified: Mitsubishi Materials, face milling
        (0.1, 8, 150, 120),  # verified: El-Hofy p. 189
    ],
)
def test_the_faces_of_a_plate_are_milled_at_feed_a_tooth_times_teeth_times_turns(
    tooth: float,
    teeth: int,
    turns: int,
    table_feed: float,
    installation: Installation,
    shop: ShopData,
    card: RateCard,
) -> None:
    """The whole charge: two faces of 300 x 100 mm with a 200 mm cutter, nothing to take off."""
    cutter = 200.0
    figures = replace(
        shop.figures(Figures),
        cutter=Millimetres(cutter),
        teeth=teeth,
        feed_per_tooth=Millimetres(tooth),
        overlap=Percentage(0),
    )
    steel = shop.materials["steel-1018"]
    steel = replace(steel, speeds=replace(steel.speeds, milling=MillimetresPerSecond(pi * cutter * turns / 60)))
    example = replace(
        shop, sections={**shop.sections, "squaring": figures}, materials={**shop.materials, "steel-1018": steel}
    )
    plate = built(installation, example, length="300 mm", width="100 mm", thickness="40 mm", material="steel-1018")
    true = replace(plate, blank=Blank("plate", 300.0, 100.0, 40.0))
    order = Order(1000, date(2026, 6, 1))
    faces, *_ = price(true, order, example, card, Modules.of({"squaring": SQUARING})).lines
    assert faces.quantity / 10_000 * 3600 / 1000 == pytest.approx(2 * 500 / (table_feed / 60), abs=0.001)
