"""Probing: more of the holes the tighter the plate, a whole number of them, and a set-up a plate."""

import pytest
from msgspec.structs import replace

from tallyplate.contract import Length, Percentage, Seconds
from tallyplate_plugins.costs.inspection import MODULE, Figures, ToleranceClass
from tests.costs.plain import BUILD, holes, said, seconds, shop


def _class(below: float, probed: float) -> ToleranceClass:
    return ToleranceClass(Length(below, f"{below} mm"), Percentage(probed))


FIGURES = Figures((_class(0.02, 1.0), _class(0.05, 0.5)), Percentage(0.1), setup=Seconds(600), hole=Seconds(10))
SHOP = shop(FIGURES)
GROUPS = (holes(7), holes(4), holes(6, kind="holding", mounting=True))


@pytest.mark.parametrize(
    ("tolerance", "probed"),
    [
        (0.019, 11),  # all of the eleven that are not for mounting
        (0.02, 6),  # no longer below the first class: half, rounded up
        (0.049, 6),
        (0.05, 2),  # beyond the widest class: a tenth, rounded up
    ],
)
def test_the_share_probed_is_that_of_the_first_class_above_the_tolerance(tolerance: float, probed: int) -> None:
    build = replace(BUILD, holes=GROUPS, position_tolerance=tolerance)
    assert seconds(said(MODULE, build, SHOP)) == [("probing holes", "inspection", 600 + 10 * probed, 0)]


def test_a_share_that_is_a_whole_number_of_holes_probes_no_hole_more() -> None:
    # A tenth of 30 is 3, though 0.1 as a binary fraction is a little more.
    build = replace(BUILD, holes=(holes(30),), position_tolerance=0.1)
    assert seconds(said(MODULE, build, SHOP)) == [("probing holes", "inspection", 600 + 30, 0)]


@pytest.mark.parametrize(
    ("classes", "otherwise"),
    [
        ([(0.05, 0.5), (0.02, 1.0)], 0.1),  # limits fall
        ([(0.02, 1.0), (0.02, 0.5)], 0.1),  # one limit twice
        ([(0.02, 0.5), (0.05, 1.0)], 0.1),  # the wider is probed more
        ([(0.02, 1.0), (0.05, 0.5)], 0.6),  # the rest are probed more
    ],
)
def test_classes_that_probe_a_wider_tolerance_more_are_refused(
    classes: list[tuple[float, float]], otherwise: float
) -> None:
    with pytest.raises(ValueError, match="classes rise in their limit and fall in the share probed"):
        replace(FIGURES, classes=tuple(_class(*one) for one in classes), otherwise=Percentage(otherwise))


def test_classes_may_probe_alike() -> None:
    alike = replace(FIGURES, classes=(_class(0.02, 0.5), _class(0.05, 0.5)), otherwise=Percentage(0.5))
    assert [alike.share(tolerance) for tolerance in (0.01, 0.03, 0.1)] == [0.5, 0.5, 0.5]
