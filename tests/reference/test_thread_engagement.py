"""Thread engagement against published areas, loads and worked examples; see facts/threads.csv for sources."""

from math import pi

import pytest

from tallyplate.contract import HoleGroup, Points, Screw, ShopData, combination_hole, tapped_hole
from tallyplate.findings import Case
from tallyplate.findings.threads import breaking_load, engagement, needed, stress_area, strip_area
from tests.plates import built
from tests.reference.facts import Fact, facts

PUBLISHED = facts("threads")
INCH = 25.4
LBF = 4.4482216152605
KSI = LBF * 1000 / INCH**2


def of(quantity: str) -> list[Fact]:
    return [fact for fact in PUBLISHED if fact.quantity == quantity]


def area(screw: Screw) -> float:
    limits = screw.strength
    assert limits is not None
    return strip_area(screw.pitch, limits.least_major, limits.widest_pitch_diameter)


@pytest.mark.parametrize("fact", of("strip_at_one_diameter"), ids=lambda fact: fact.key)
def test_a_thread_as_long_as_it_is_wide_strips_on_the_published_area(fact: Fact, shop: ShopData) -> None:
    screw = shop.screws[fact.key]
    assert fact.allows(area(screw) * screw.major), fact


@pytest.mark.parametrize("fact", of("strip_per_inch"), ids=lambda fact: fact.key)
def test_an_inch_of_thread_strips_on_the_published_area(fact: Fact, shop: ShopData) -> None:
    assert fact.allows(area(shop.screws[fact.key]) * INCH), fact


@pytest.mark.parametrize("fact", of("breaking_load"), ids=lambda fact: fact.key)
def test_a_screw_breaks_no_earlier_than_at_its_published_load(fact: Fact, shop: ShopData) -> None:
    # The metric formula for the stress area gives inch screws up to 2 % more: on the safe side here.
    assert fact.allows(breaking_load(shop.screws[fact.key])), fact


@pytest.mark.parametrize(
    "fact", [*of("least_major"), *of("widest_pitch_diameter")], ids=lambda fact: f"{fact.key} {fact.quantity}"
)
def test_limits_of_size_are_the_published_ones(fact: Fact, shop: ShopData) -> None:
    strength = shop.screws[fact.key].strength
    assert fact.allows(getattr(strength, fact.quantity)), fact


def test_the_example_of_a_half_inch_screw_is_worked_out_as_published() -> None:
    # 1/2-13, screw 120 ksi, tapped thread 58 ksi of which half in shear: 0.5226326 in by FED-STD-H28/2B, formula (16);
    # stress area 0.1419 in2 and stripping area 1.1234867 in2 an inch (verified, PyPI screw_thread_lib 0.0.6).
    an_inch = strip_area(INCH / 13, 0.4876 * INCH, 0.4565 * INCH) / INCH
    assert an_inch == pytest.approx(1.1234867, abs=1e-6)
    length = engagement(0.1418996 * INCH**2 * 120 * KSI, an_inch * INCH, 58 * KSI / 2)
    assert length / INCH == pytest.approx(0.5226326, abs=2e-5)


def test_the_example_of_an_m10_screw_is_worked_out_as_published(shop: ShopData) -> None:
    # M10 x 1.5, screw 830 MPa, tapped thread 310 MPa, 0.6 of it in shear, basic sizes: strips at 51.13 kN over 10 mm,
    # breaks at 48.13 kN, and wants 9.414 mm (verified, machinecalcs.com thread engagement).
    basic = strip_area(1.5, 10.0, 10.0 - 0.6495 * 1.5)
    shear = 0.6 * 310
    breaks = stress_area(shop.screws["M10"]) * 830
    assert basic * 10 * shear == pytest.approx(51130, rel=0.002)
    assert breaks == pytest.approx(48130, rel=0.001)
    assert engagement(breaks, basic, shear) == pytest.approx(9.414, rel=0.002)


def _needed(shop: ShopData, material: str, *, insert: bool = False) -> float:
    build = built({"/plate/material": material, "/plate/finish": "plain"})
    group = HoleGroup("tapped", tapped_hole("M12", 40.0, shop, insert=insert), Points(((0.0, 0.0),)))
    least = needed(group, Case(build, shop))
    assert least is not None
    return least / 12.0


def test_aluminium_wants_what_the_rule_of_thumb_asks_for_and_steel_less(shop: ShopData) -> None:
    # 1.5 to 2.5 diameters in aluminium (verified, engitoolbox.org, thread engagement).
    assert 1.5 <= _needed(shop, "al-6061-t6") <= 2.5
    assert _needed(shop, "steel-1018") < 1.5
    assert _needed(shop, "steel-4140") < 1.0


def test_a_wire_insert_strips_on_a_larger_thread(shop: ShopData) -> None:
    # The tapped thread is larger by 1.299 pitches of 1.75 mm (from memory of the STI series), its area in proportion.
    ratio = _needed(shop, "al-6061-t6") / _needed(shop, "al-6061-t6", insert=True)
    assert ratio == pytest.approx((11.701 + 1.29904 * 1.75) / 11.701, abs=1e-6)


def test_a_stress_area_is_what_the_standard_says_by_diameter_and_pitch(shop: ShopData) -> None:
    # ISO 898-1: pi/4 ((d2 + d3)/2)^2, with d2 = d - 0.64952 P and d3 = d - 1.22687 P.
    for designation in ("M10", "M12", "M16"):
        screw = shop.screws[designation]
        d2, d3 = screw.major - 0.64952 * screw.pitch, screw.major - 1.22687 * screw.pitch
        assert stress_area(screw) == pytest.approx(pi / 4 * ((d2 + d3) / 2) ** 2, rel=1e-4)


def test_a_combination_hole_leaves_its_thread_what_stands_below_the_bushing(shop: ShopData) -> None:
    thread = combination_hole("M12", 35.0, shop, bushed=True).thread
    assert thread is not None
    assert thread.depth == pytest.approx(35.0 - 16.0)
