"""Physical constants of the demonstration's materials against published ones; see facts/materials.csv for sources."""

import pytest

from tallyplate.contract import Body, ShopData
from tests.reference.facts import Fact, facts

CONSTANTS = facts("materials")


@pytest.mark.parametrize("fact", CONSTANTS, ids=lambda fact: f"{fact.key} {fact.quantity}")
def test_a_material_has_its_published_constants(fact: Fact, shop: ShopData) -> None:
    assert fact.allows(getattr(shop.materials[fact.key], fact.quantity)), fact


@pytest.mark.parametrize("quantity", ["density", "expansion", "modulus", "shear"])
def test_every_material_on_offer_was_looked_up(quantity: str, shop: ShopData) -> None:
    assert {fact.key for fact in CONSTANTS if fact.quantity == quantity} == set(shop.materials)


def test_half_a_metre_of_aluminium_outgrows_steel_as_the_published_expansions_say(shop: ShopData) -> None:
    # 500 mm from 20 to 25 C: 0.0590 mm of 6061, 0.02925 mm of 1020 (derived from Callister, app. B, table B.6).
    grown = {name: 500 * 5 * shop.materials[name].expansion for name in ("al-6061-t6", "steel-1018")}
    assert grown == pytest.approx({"al-6061-t6": 0.0590, "steel-1018": 0.02925}, abs=1e-4)


def test_a_solid_aluminium_plate_weighs_volume_times_density(shop: ShopData) -> None:
    # 400 x 300 x 25 mm at 2700 kg/m3: 8.1 kg (derived, plain geometry).
    plate = Body("al-6061-t6", 400.0, 300.0, 25.0, 120_000.0, 1400.0, 3_000_000.0, 275_000.0)
    assert shop.mass(plate) == pytest.approx(8.1, abs=1e-9)
