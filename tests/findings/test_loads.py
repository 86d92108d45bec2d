"""What a plate bears and weighs: threads, growth with temperature, and lifting, each at its edge."""

from typing import Any

import pytest
from msgspec.structs import replace

from tallyplate.contract import Kilograms, ShopData
from tallyplate.findings import Case, Finding, Severity, of_plate
from tests.plates import built, findings, installation

FREE: dict[str, Any] = {"/plate/mounting": {"surface": "none"}}
BLOCK: dict[str, Any] = {
    "/plate": {"family": "tombstone", "faces": 4, "face_width": "250 mm", "height": "450 mm", "material": "al-cast"}
}
SHOP = installation().shops[0]
WITH_INSERTS = {"/plate/pattern/thread_inserts": True}

CASES: dict[str, tuple[str, dict[str, Any], dict[str, Any]]] = {
    # 84.27 mm2 of M12 at 1220 MPa break at 102.8 kN; 26.11 mm2 a mm of 6061 at 205 MPa bear that over 19.2 mm, which
    # stand below a bushing of 16 mm.
    "thread too short for its screw": (
        "thread-strips",
        {**FREE, "/plate/thickness": "35.1 mm"},
        {**FREE, "/plate/thickness": "35.3 mm"},
    ),
    # Cast plate at 140 MPa would want 28.1 mm, more than the two diameters that are tapped; with a wire insert,
    # 31.2 mm2 a mm bear it over 23.5 mm.
    "thread in soft metal without a wire insert": (
        "thread-strips",
        {**FREE, "/plate/material": "al-cast"},
        {**FREE, "/plate/material": "al-cast", **WITH_INSERTS},
    ),
    "thread too short even with a wire insert": (
        "thread-strips",
        {**FREE, "/plate/material": "al-cast", **WITH_INSERTS, "/plate/thickness": "39.4 mm"},
        {**FREE, "/plate/material": "al-cast", **WITH_INSERTS, "/plate/thickness": "39.7 mm"},
    ),
    # 700 mm x 23.6e-6 / K x 1 K = 0.01652 mm.
    "growth beyond the tolerance": (
        "outgrows-tolerance",
        {"/plate/position_tolerance": "0.0165 mm"},
        {"/plate/position_tolerance": "0.0166 mm"},
    ),
}


@pytest.mark.parametrize(("code", "case", "neighbour"), CASES.values(), ids=CASES)
def test_a_caution_stands_in_its_case_and_not_in_the_neighbour(
    code: str, case: dict[str, Any], neighbour: dict[str, Any]
) -> None:
    assert findings(case)[code]["severity"] == "caution"
    assert code not in findings(neighbour)


def test_both_loads_and_the_length_that_would_do_are_told() -> None:
    message = findings({**FREE, "/plate/thickness": "30 mm"})["thread-strips"]["message"]
    for figure in ("14 mm of M12 thread", "strip at 75 kN", "class 12.9", "breaks at 103 kN", "19.2 mm"):
        assert figure in message


def test_the_temperatures_within_which_a_tolerance_holds_are_told() -> None:
    message = findings({"/plate/position_tolerance": "0.0118 mm"})["outgrows-tolerance"]["message"]
    assert "0.0165 mm with each kelvin" in message
    assert "within 0.71 K of 20 deg C" in message


def test_shop_data_that_state_no_strength_and_no_swing_say_nothing_of_them() -> None:
    materials = {name: replace(material, shear=None) for name, material in SHOP.materials.items()}
    silent = replace(SHOP, materials=materials, limits=replace(SHOP.limits, temperature_swing=None, overhang=None))
    changes = {"/plate/material": "al-cast", "/plate/position_tolerance": "0.011 mm"}
    assert {"thread-strips", "outgrows-tolerance"} <= found(SHOP, changes).keys()
    assert not {"thread-strips", "outgrows-tolerance"} & found(silent, changes).keys()


def found(shop: ShopData, changes: dict[str, Any]) -> dict[str, Finding]:
    """What the checks say of a plate of this shop, by code."""
    return {finding.code: finding for finding in of_plate(Case(built(changes), shop))}


def rated(kilograms: float) -> ShopData:
    """The shop, whose M16 eye bolts lift so much together where two slings lean by 45 degrees."""
    screw = SHOP.screws["M16"]
    assert screw.eye_bolt is not None
    bolt = replace(screw.eye_bolt, leaning=Kilograms(kilograms / 2**0.5))
    return replace(SHOP, screws={**SHOP.screws, "M16": replace(screw, eye_bolt=bolt)})


def test_lifting_holes_are_held_against_the_mass_by_their_rating() -> None:
    mass = SHOP.mass(built(BLOCK).body)
    too_weak = found(rated(mass * 0.999), BLOCK)["lifting-rating"]
    assert (too_weak.severity, too_weak.pointer) == (Severity.CAUTION, "/plate/lifting_screw")
    assert f"{mass:.1f} kg hang from 2 lifting holes M16" in too_weak.message
    strong = found(rated(mass * 1.001), BLOCK)
    assert "lifting-rating" not in strong
    assert strong["lifted-by"].severity is Severity.NOTE
    assert "heavy" not in strong


def test_a_lifting_thread_without_a_rating_is_no_reason_to_trust_it() -> None:
    unrated = replace(SHOP, screws={**SHOP.screws, "M16": replace(SHOP.screws["M16"], eye_bolt=None)})
    assert "have no rating stated" in found(unrated, BLOCK)["lifting-rating"].message


@pytest.mark.parametrize("code", ["heavy", "lifting-rating", "lifted-by", "thread-strips"])
def test_whoever_could_be_hurt_is_sent_to_local_rules_and_a_competent_person(code: str) -> None:
    said = found(SHOP, {}) | found(rated(1.0), BLOCK) | found(SHOP, BLOCK) | found(SHOP, {"/plate/thickness": "30 mm"})
    assert "follow local rules and a competent person's advice" in said[code].message
