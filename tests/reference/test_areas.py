"""Areas, volumes and mass of a plate against plain geometry (all derived).

The plate is 400 x 300 x 25 mm. What packing and finishing count is its surface with the hole walls added and the hole
mouths left in: never less than the true area, and never smaller for a hole more.
"""

from datetime import date
from math import pi

import pytest
from msgspec.structs import replace

from tallyplate.contract import Body, Bore, Build, Hole, HoleGroup, Lattice, Order, ShopData
from tallyplate.installation import Installation
from tallyplate.pricing import Modules, price
from tallyplate.rates.card import RateCard
from tests.reference.plates import built

DRILLED = Hole((Bore(13.0, 25.0),))
COUNTERBORED = Hole((Bore(11.0, 25.0), Bore(18.0, 11.0, flat=True)))
FORTY_EIGHT = Lattice(30.0, 30.0, 45.0, 45.0, 8, 6)


@pytest.fixture
def plate(installation: Installation, shop: ShopData) -> Build:
    bare = built(
        installation,
        shop,
        length="400 mm",
        width="300 mm",
        thickness="25 mm",
        material="al-6061-t6",
        finish="anodized",
        mounting={"surface": "none"},
    )
    return replace(bare, holes=(HoleGroup("plain", DRILLED, FORTY_EIGHT),))


def test_a_body_has_two_faces_and_four_edges(plate: Build) -> None:
    body: Body = plate.body
    assert body.plan_area * 2 == pytest.approx(240_000)
    assert body.perimeter * body.thickness == pytest.approx(35_000)
    assert body.surface == pytest.approx(275_000)
    assert body.volume == pytest.approx(3_000_000)


def test_the_walls_of_drilled_holes_are_cylinders() -> None:
    assert FORTY_EIGHT.count * DRILLED.wall_area == pytest.approx(49_008.845396)


def test_a_counterbored_hole_has_a_wide_wall_above_a_narrow_one() -> None:
    # D 18 x 11 over D 11 through 25 mm: 1265.276 mm2 with the ring at the counterbore's bottom, which we leave out.
    ring = pi / 4 * (18**2 - 11**2)
    assert COUNTERBORED.wall_area + ring == pytest.approx(1265.276441)


def test_a_finisher_is_paid_for_the_surface_and_the_walls(
    plate: Build, installation: Installation, shop: ShopData, card: RateCard
) -> None:
    module = Modules.of({"finishing": installation.modules["finishing"]})
    line, *_ = price(plate, Order(1000, date(2026, 6, 1)), shop, card, module).lines
    square_metres = line.quantity / 10_000 / 1000
    assert square_metres == pytest.approx(0.275 + 0.049008845, abs=1e-6)
    assert square_metres > 0.311266, "the true area, mouths taken out"


def test_a_plate_is_lifted_at_the_mass_of_its_solid_body(plate: Build, shop: ShopData) -> None:
    # 8.1 kg solid at 2700 kg/m3; 7.66995 kg with 48 holes of 13 mm: what must be lifted is never understated.
    assert shop.mass(plate.body) == pytest.approx(8.1)
    assert shop.mass(plate.body) > 7.669947


def test_a_through_hole_adds_area_only_when_deeper_than_its_radius() -> None:
    # Its walls outgrow its two mouths from a depth of D / 2 on: why mouths stay in.
    mouths = 2 * pi / 4 * 20.0**2
    assert Hole((Bore(20.0, 10.0),)).wall_area == pytest.approx(mouths)
