"""Growth with temperature and lifting, against published worked examples and ratings."""

import pytest

from tallyplate.contract import HoleGroup, Points, ShopData, tapped_hole
from tallyplate.findings.growth import growth
from tallyplate.findings.lifting import capacity
from tests.reference.facts import Fact, facts

RATINGS = [fact for fact in facts("threads") if fact.quantity in {"straight", "leaning"}]
METRE = 1000.0


@pytest.mark.parametrize(
    ("metres", "expansion", "kelvins", "grown"),
    [
        # OpenStax, College Physics, example on linear expansion: a steel bridge, -15 to 40 deg C (statement verified at
        # fxsolver.com, its answer from memory).
        pytest.param(1275, 12e-6, 55, 0.84, id="bridge, openstax"),
        # A suspension bridge of steel, 20 to 40 deg C: 4.8 cm (verified, physicsnaught.org, topic 514, example 3).
        pytest.param(200, 12e-6, 20, 0.048, id="bridge, physicsnaught"),
        # 500 mm of 6061, 20 to 25 deg C (derived from Callister, app. B, table B.6).
        pytest.param(0.5, 23.6e-6, 5, 0.0000590, id="plate, callister"),
    ],
)
def test_growth_is_worked_out_as_published(metres: float, expansion: float, kelvins: float, grown: float) -> None:
    assert growth(metres * METRE, expansion, kelvins) / METRE == pytest.approx(grown, rel=0.003)


@pytest.mark.parametrize("fact", RATINGS, ids=lambda fact: f"{fact.key} {fact.quantity}")
def test_an_eye_bolt_has_its_published_rating(fact: Fact, shop: ShopData) -> None:
    assert fact.allows(getattr(shop.screws[fact.key].eye_bolt, fact.quantity)), fact


def test_every_screw_on_offer_has_a_rating_that_was_looked_up(shop: ShopData) -> None:
    assert {fact.key for fact in RATINGS} == set(shop.screws)


@pytest.mark.parametrize("count", [2, 4])
def test_two_slings_at_45_degrees_share_a_load_as_published(count: int, shop: ShopData) -> None:
    # 1000 lb on two legs at 45 deg: 500 x 1.414 = 707 lb on each (verified, kwrs.com, load capacity of a sling). More
    # than two legs count as two (verified, cranegenius.com rigx-002).
    group = _holes(count, shop)
    bolt = shop.screws["M12"].eye_bolt
    assert bolt is not None
    assert capacity(group, shop) == pytest.approx(bolt.leaning * 1000 / 707, rel=0.001)


def test_one_eye_bolt_is_pulled_straight(shop: ShopData) -> None:
    assert capacity(_holes(1, shop), shop) == 340.0


def _holes(count: int, shop: ShopData) -> HoleGroup:
    places = tuple((float(place), 0.0) for place in range(count))
    return HoleGroup("lifting", tapped_hole("M12", 40.0, shop), Points(places))


def test_what_one_person_may_lift_is_the_published_constant(shop: ShopData) -> None:
    # Load constant of the revised NIOSH lifting equation: 23 kg, 51 lb (verified, DHHS (NIOSH) 94-110).
    constant = shop.limits.one_person_lift
    assert constant == 23.0
    assert constant / 0.45359237 == pytest.approx(51, abs=0.5)
    # CCOHS worked example, 50 cm out and moved a little: 10.9 kg; nearer to the body 17.5 kg (verified).
    assert constant * 0.50 * 1 * 0.95 == pytest.approx(10.9, abs=0.05)
    assert constant * 0.80 * 1 * 0.95 == pytest.approx(17.5, abs=0.05)
