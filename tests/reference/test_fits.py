"""Size tolerances of close-tolerance holes against ISO 286."""

import pytest
from pressfit import fit

from tallyplate.contract import ShopData

SCREWS = ("3/8-16", "1/2-13", "5/8-11", "M10", "M12", "M16")
HOLES = (("locating", "locating_tolerance"), ("bushing_outside", "bushing_tolerance"))

# IT7 in micrometres for nominal sizes over and up to mm, ISO 286-1 as printed (verified: two public packages agree).
IT7 = [(6, 10, 15), (10, 18, 18), (18, 30, 21), (30, 50, 25)]


def it7(diameter: float) -> int:
    return next(width for over, up_to, width in IT7 if over < diameter <= up_to)


@pytest.mark.parametrize("screw", SCREWS)
@pytest.mark.parametrize(("diameter", "tolerance"), HOLES)
def test_a_close_tolerance_hole_is_held_to_grade_seven_of_the_standards_table(
    screw: str, diameter: str, tolerance: str, shop: ShopData
) -> None:
    sizes = shop.screws[screw]
    assert getattr(sizes, tolerance) * 1000 == pytest.approx(it7(getattr(sizes, diameter)), abs=1e-9)


@pytest.mark.parametrize("screw", SCREWS)
@pytest.mark.parametrize(("diameter", "tolerance"), HOLES)
def test_a_close_tolerance_hole_has_the_limits_that_another_library_gives_an_h7_hole(
    screw: str, diameter: str, tolerance: str, shop: ShopData
) -> None:
    sizes = shop.screws[screw]
    hole = fit("H7/n6", float(getattr(sizes, diameter)))
    assert (hole.hole_ei_um, hole.hole_es_um) == (0, pytest.approx(getattr(sizes, tolerance) * 1000, abs=1e-9))


@pytest.mark.parametrize("screw", SCREWS)
def test_the_table_stays_near_the_standards_formula(screw: str, shop: ShopData) -> None:
    # 16 i with i = 0.45 D^(1/3) + 0.001 D at the geometric mean of the step (ISO 286-1; multiplier and formula
    # verified, engineersedge.com 15523). The standard rounds its table, so up to 5 % apart.
    sizes = shop.screws[screw]
    over, up_to, _ = next(step for step in IT7 if step[0] < sizes.locating <= step[1])
    mean = (over * up_to) ** 0.5
    formula = 16 * (0.45 * mean ** (1 / 3) + 0.001 * mean)
    assert sizes.locating_tolerance * 1000 == pytest.approx(formula, rel=0.05)


@pytest.mark.parametrize("screw", ["M10", "M12", "M16"])
def test_a_metric_bushing_may_be_tight_in_its_hole_and_never_loose_by_more_than_the_standard(
    screw: str, shop: ShopData
) -> None:
    # ISO 4247 bushings are n6 outside (from memory). Press fit H7/n6 of 18 to 30 mm: from 28 um tight to 6 um loose
    # (n6 15 to 28 um, verified: two public packages agree).
    sizes = shop.screws[screw]
    loosest = sizes.bushing_tolerance * 1000 - fit("H7/n6", float(sizes.bushing_outside)).shaft_ei_um
    assert loosest <= 6 + 1e-9
