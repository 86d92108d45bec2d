"""Cutting speeds and feeds of the demonstration's shop data against published tables; see facts/speeds.csv.

Tables of one material differ by a factor of two, so these are bounds, not values.
"""

import pytest

from tallyplate.contract import ShopData
from tallyplate_plugins.costs.squaring import Figures as Squaring
from tests.reference.facts import Fact, facts

PUBLISHED = facts("speeds")

# Drill feed in in/rev by diameter in inches (verified: general page for HSS drilling and reaming, protocutter.com).
DRILL_FEEDS = [
    (0.125, 0.001, 0.003),
    (0.25, 0.002, 0.006),
    (0.5, 0.004, 0.010),
    (1.0, 0.007, 0.015),
    (1.5, 0.010, 0.025),
]


@pytest.mark.parametrize("fact", PUBLISHED, ids=lambda fact: f"{fact.key} {fact.quantity}")
def test_a_cutting_speed_lies_in_its_published_range(fact: Fact, shop: ShopData) -> None:
    assert fact.allows(getattr(shop.materials[fact.key].speeds, fact.quantity)), fact


@pytest.mark.parametrize("quantity", ["drilling", "reaming", "tapping", "milling"])
def test_every_metal_on_offer_was_looked_up(quantity: str, shop: ShopData) -> None:
    metals = {name for name, material in shop.materials.items() if material.group != "plastic"}
    assert {fact.key for fact in PUBLISHED if fact.quantity == quantity} == metals


@pytest.mark.parametrize(("diameter", "low", "high"), DRILL_FEEDS)
def test_a_drill_is_fed_within_the_published_range(diameter: float, low: float, high: float, shop: ShopData) -> None:
    assert low <= shop.cutting.drill_feed(diameter * 25.4) / 25.4 <= high


def test_every_drill_of_a_screw_is_fed_within_the_published_range(shop: ShopData) -> None:
    for screw in shop.screws.values():
        for diameter in (screw.tap_drill, screw.clearance):
            low, high = next((low, high) for up_to, low, high in DRILL_FEEDS if diameter <= up_to * 25.4)
            assert low <= shop.cutting.drill_feed(diameter) / 25.4 <= high


def test_a_counterbore_runs_at_the_published_share_of_drilling(shop: ShopData) -> None:
    # 80 to 85 % of drilling's speed and feed (verified: user guide, counterbores, somta.se p. 33).
    assert 0.80 <= shop.cutting.counterbore_factor <= 0.85


def test_what_is_left_for_the_reamer_is_as_published_for_locating_holes(shop: ShopData) -> None:
    # 0.010 to 0.016 in on the diameter of holes from .281 to .880 in (verified: protocutter.com). From .881 in, which
    # the seats of the largest bushings reach, the same page leaves 0.015 to 0.030 in; the shop has one figure for all.
    left = shop.cutting.ream_allowance / 25.4
    assert 0.010 <= left <= 0.016
    assert all(0.281 <= screw.locating / 25.4 <= 0.880 for screw in shop.screws.values())


def test_a_tooth_of_the_face_mill_takes_what_is_published(shop: ShopData) -> None:
    # 0.005 to 0.020 in a tooth in aluminium and 0.004 to 0.016 in cast iron (verified within 25 %: machine tool speeds
    # and feeds data sheet, docslib.org 5103932).
    tooth = shop.figures(Squaring).feed_per_tooth / 25.4
    assert 0.75 * 0.005 <= tooth <= 0.016


def test_a_drill_point_and_a_lifting_limit_are_the_usual_ones(shop: ShopData) -> None:
    assert shop.cutting.point_angle == 118.0  # general-purpose twist drills (common practice, no source)
    assert shop.limits.one_person_lift == 23.0  # load constant, DHHS (NIOSH) 94-110 (verified)
