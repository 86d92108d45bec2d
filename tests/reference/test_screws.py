"""Screws of the demonstration's shop data against published tables; see facts/screws.csv for sources."""

from math import pi

import pytest

from tallyplate.contract import Screw, ShopData
from tests.reference.facts import Fact, facts

PUBLISHED = facts("screws")
SIZES = ("tap_drill", "clearance", "counterbore", "counterbore_depth")


def of(quantity: str) -> list[Fact]:
    return [fact for fact in PUBLISHED if fact.quantity == quantity]


def named(fact: Fact) -> str:
    return f"{fact.key} {fact.quantity} {fact.known}"


def stress_area(screw: Screw, *, inch: bool) -> float:
    """Inch: pi/4 (d - 0.9743/n)^2 (FED-STD-H28/2B); metric: pi/4 (d - 0.9382 P)^2 (ISO 898-1)."""
    return pi / 4 * (screw.major - (0.9743 if inch else 0.9382) * screw.pitch) ** 2


@pytest.mark.parametrize("fact", [fact for size in SIZES for fact in of(size)], ids=named)
def test_a_screw_gets_its_published_holes(fact: Fact, shop: ShopData) -> None:
    assert fact.allows(getattr(shop.screws[fact.key], fact.quantity)), fact


@pytest.mark.parametrize("fact", of("stress_area"), ids=named)
def test_diameter_and_pitch_make_the_published_stress_area(fact: Fact, shop: ShopData) -> None:
    assert fact.allows(stress_area(shop.screws[fact.key], inch="/" in fact.key)), fact


@pytest.mark.parametrize("fact", of("head_diameter"), ids=named)
def test_a_counterbore_clears_the_screws_head_all_around(fact: Fact, shop: ShopData) -> None:
    assert shop.screws[fact.key].counterbore > fact.high


@pytest.mark.parametrize("fact", of("head_height"), ids=named)
def test_a_counterbore_sinks_the_screws_head_below_the_face(fact: Fact, shop: ShopData) -> None:
    assert shop.screws[fact.key].counterbore_depth > fact.high


def test_every_screw_on_offer_was_looked_up(shop: ShopData) -> None:
    for quantity in (*SIZES, "stress_area", "head_diameter", "head_height"):
        assert {fact.key for fact in of(quantity)} == set(shop.screws), quantity


def test_a_half_inch_tap_drill_leaves_the_usual_share_of_thread(shop: ShopData) -> None:
    # Drill = major - 0.01299 in x percent / threads an inch (a tool maker's tapping formula, verified): 27/64 in
    # leaves 78.19 % of a full 1/2-13 thread (derived).
    screw = shop.screws["1/2-13"]
    percent = (screw.major - screw.tap_drill) / 25.4 * 13 / 0.01299
    assert percent == pytest.approx(78.19, abs=0.05)


@pytest.mark.parametrize(
    ("material", "diameters"),
    [
        ("steel-1018", 1.0),
        ("al-6061-t6", 1.5),
    ],
)
def test_the_usual_length_of_thread_is_what_the_rule_of_thumb_asks_for(
    material: str, diameters: float, shop: ShopData
) -> None:
    # One diameter in steel, 1.5 to 2.5 in aluminium (engitoolbox.org, thread engagement, verified).
    assert shop.usual.thread_diameters >= diameters, material
    assert shop.usual.thread_diameters <= 2.5
