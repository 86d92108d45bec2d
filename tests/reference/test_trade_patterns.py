"""What the trade takes for granted about hole patterns (common practice, no source)."""

from itertools import pairwise
from math import dist

import pytest

from tallyplate.contract import Build, ShopData
from tallyplate.installation import Installation
from tests.reference.plates import SAID, built, lines, priced
from tests.reference.shops import INCH

USUAL = {**SAID, "material": "al-6061-t6"}
SCREWS = ("3/8-16", "1/2-13", "5/8-11", "M10", "M12", "M16")


@pytest.fixture
def usual(installation: Installation, shop: ShopData) -> Build:
    """A plate of which nothing is said but its size and material, and that stands on nothing."""
    return built(installation, shop, **USUAL, mounting={"surface": "none"})


def positions(plate: Build, kind: str) -> list[tuple[float, float]]:
    (group,) = [group for group in plate.holes if group.kind == kind]
    return [(x / INCH, y / INCH) for x, y in group.layout.positions()]


def test_a_usual_pattern_has_two_inches_between_tapped_holes_along_a_row(usual: Build) -> None:
    tapped = positions(usual, "tapped")
    row = sorted(x for x, y in tapped if y == tapped[0][1])
    assert [after - before for before, after in pairwise(row)] == pytest.approx([2.0] * (len(row) - 1))


def test_a_usual_pattern_has_a_tapped_hole_an_inch_from_each_combination_hole(usual: Build) -> None:
    tapped = positions(usual, "tapped")
    for combination in positions(usual, "combination"):
        assert min(dist(combination, other) for other in tapped) == pytest.approx(1.0)


def test_soft_metal_gets_a_hardened_bushing_in_each_combination_hole(
    installation: Installation, shop: ShopData
) -> None:
    (group,) = [group for group in built(installation, shop, **USUAL).holes if group.kind == "combination"]
    bought = [int(line.quantity) for line in priced(installation, **USUAL).lines if line.item == "bushings 1/2-13"]
    assert sum(bought) == group.count


@pytest.mark.parametrize("material", ["steel-1018", "steel-4140", "iron-grey"])
def test_hard_metal_gets_no_bushings(material: str, installation: Installation) -> None:
    answer = priced(installation, **{**USUAL, "material": material})
    assert "combination holes" in lines(answer)
    assert not [line.item for line in answer.lines if "bushing" in line.item]


@pytest.mark.parametrize("screw", SCREWS)
@pytest.mark.parametrize("material", ["al-6061-t6", "steel-1018"])
def test_every_usual_clamping_screw_is_on_offer_and_brings_its_own_hole(
    screw: str, material: str, installation: Installation, shop: ShopData
) -> None:
    plate = {**USUAL, "material": material, "pattern": {"screw": screw, "pitch": "50 mm"}}
    assert float(priced(installation, **plate).total) > 0
    (group,) = [group for group in built(installation, shop, **plate).holes if group.kind == "combination"]
    size = shop.screws[screw]
    seat = size.bushing_outside if material == "al-6061-t6" else size.locating
    assert group.hole.widest == seat
    assert group.hole.thread is not None
    assert (group.hole.thread.designation, group.hole.thread.major) == (screw, size.major)


@pytest.mark.parametrize("series", [SCREWS[:3], SCREWS[3:]])
def test_a_larger_screw_goes_with_a_larger_combination_hole(series: tuple[str, ...], shop: ShopData) -> None:
    sizes = [shop.screws[screw].locating for screw in series]
    assert sizes == sorted(set(sizes))
    for screw in series:
        assert shop.screws[screw].locating > shop.screws[screw].major, "a screw passes the hole it locates over"


def test_opening_the_pattern_up_means_fewer_holes_less_hardware_and_a_cheaper_plate(
    installation: Installation, shop: ShopData
) -> None:
    pitches = ("1 in", "1 1/2 in", "2 in", "3 in")
    plates = [{**USUAL, "pattern": {"pitch": pitch, "margin": "1 in"}} for pitch in pitches]
    builds = [built(installation, shop, **plate) for plate in plates]
    holes = [sum(group.count for group in build.holes if not group.mounting) for build in builds]
    hardware = [sum(part.count for part in build.fitted()) for build in builds]
    totals = [float(priced(installation, **plate).total) for plate in plates]
    for falling in (holes, hardware, totals):
        assert falling == sorted(set(falling), reverse=True)
