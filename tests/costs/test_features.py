"""Milled features: roughing at the rate of the quickest end mill that fits, and passes around their walls."""

from math import pi

import pytest
from msgspec.structs import replace

from tallyplate.contract import (
    Build,
    EndMill,
    Length,
    Milled,
    Millimetres,
    MillimetresPerSecond,
    Outline,
    Percentage,
    Refusal,
    Seconds,
    ShopData,
    Size,
)
from tallyplate.contract.outlines import rectangle
from tallyplate_plugins.costs.features import MODULE, Figures
from tests.costs.plain import ALUMINIUM, BODY, BUILD, said, seconds, shop
from tests.plates import installation

OWN = Figures(
    step_down=Percentage(0.5), step_over=Percentage(0.4), programming=Seconds(600),
    chamfer_feed=MillimetresPerSecond(25), chamfer_pass=Size(1.5),
)  # fmt: skip
HERE = installation().shops[0]


def mill(diameter: float, reach: float, feed: float) -> EndMill:
    return EndMill(Length(diameter, f"{diameter} mm"), Length(reach, f"{reach} mm"), 2, Size(feed))


def milling(*mills: EndMill, removal: float = 1e6) -> ShopData:
    """A shop whose spindle turns ten times a second whatever the mill, and that settles in no time."""
    material = HERE.materials[ALUMINIUM]
    speeds = replace(material.speeds, milling=MillimetresPerSecond(1e9), removal=removal)
    machine = replace(HERE.machine, spindle=10.0, tool_change=5.0, settle=0.5, traverse=100.0)
    cutting = replace(HERE.cutting, end_mills=mills)
    return shop(OWN, materials={ALUMINIUM: replace(material, speeds=speeds)}, machine=machine, cutting=cutting)


# Feed 0.5 x 2 x 10 = 10 mm/s; 5 mm down and 4 mm over make 200 mm3/s.
TEN = mill(10, 40, 0.5)
POCKET = Milled("pocket", rectangle(100, 50, 160, 90, 5), 10.0, 5.0, asked="/plate/features/0")
AROUND = 2 * (50 + 30) + 2 * pi * 5
AREA = 60 * 40 - (4 - pi) * 25


def milled(*features: Milled) -> Build:
    return replace(BUILD, milled=features)


def test_a_plate_without_features_takes_none_of_it() -> None:
    assert said(MODULE, BUILD, shop(), None) == []


def test_a_pocket_is_roughed_by_volume_and_its_walls_are_gone_around_pass_by_pass() -> None:
    work, programming = seconds(said(MODULE, milled(POCKET), milling(TEN)))
    # Two passes of 5 mm; two tools that settle once and are changed once each.
    each = AREA * 10 / 200 + 2 * AROUND / 10 + 2 * 0.5 + 2 * 5
    assert work == ("pocket 60 x 40 x 10 mm", "mill", round(each, 3), 0.0)
    assert programming == ("programming features", "programming", 0.0, 600.0)


def test_the_material_is_removed_no_faster_than_it_lets() -> None:
    (work, _) = seconds(said(MODULE, milled(POCKET), milling(TEN, removal=50.0)))
    assert work[2] == pytest.approx(AREA * 10 / 50 + 2 * AROUND / 10 + 11, abs=2e-3)


def test_like_features_stand_on_one_line_and_the_tools_way_between_them_is_added() -> None:
    other = replace(POCKET, outline=rectangle(100, 150, 160, 190, 5))
    below = replace(POCKET, outline=rectangle(200, 50, 260, 90, 5), face="bottom")
    (one, _), (two, apart, programming) = (
        seconds(said(MODULE, milled(*features), milling(TEN))) for features in ((POCKET,), (POCKET, other, below))
    )
    assert two[0] == "2 pockets 60 x 40 x 10 mm"
    assert two[2] == pytest.approx(2 * (one[2] - 10) + 10 + 2 * 100 / 100, abs=2e-3)
    assert apart[0] == "pocket 60 x 40 x 10 mm, from below"
    assert programming[3] == 1200


def test_a_cut_out_is_milled_around_where_that_is_less_than_milling_it_out() -> None:
    large = Milled("cut-out", Outline(((150.0, 100.0),), 50.0), 20.0, 50.0, through=True)
    small = replace(large, outline=Outline(((150.0, 100.0),), 6.0), corner=6.0)
    for cut, wide in ((large, 100 * pi * 10), (small, 36 * pi)):
        (work, _) = seconds(said(MODULE, milled(cut), milling(TEN)))
        assert work[2] == pytest.approx(wide * 20 / 200 + 4 * cut.outline.around / 10 + 11, abs=2e-3)
    assert seconds(said(MODULE, milled(large), milling(TEN)))[0][0] == "cut-out \u00d8100 mm"


def test_only_end_mills_that_pass_the_width_and_reach_the_depth_are_used_and_of_these_the_quickest() -> None:
    short, wide, slow = mill(8, 9, 50.0), mill(12, 90, 50.0), mill(6, 40, 0.1)
    alone = seconds(said(MODULE, milled(POCKET), milling(TEN)))
    assert seconds(said(MODULE, milled(POCKET), milling(slow, short, TEN, wide))) == alone
    assert seconds(said(MODULE, milled(POCKET), milling(slow)))[0][2] > alone[0][2]


def test_round_corners_and_chamfers_are_milled_from_both_faces() -> None:
    body = replace(BODY, corner=10.0, chamfer=2.0)
    corners, chamfer = seconds(said(MODULE, replace(BUILD, body=body), milling(TEN, removal=100.0)))
    # A square less a circle, 20 mm thick; from each face two passes of 5 mm around a whole circle.
    assert corners == ("4 corners R10 mm", "mill", round((4 - pi) * 100 * 20 / 100 + 4 * 20 * pi / 10 + 10, 3), 0.0)
    assert chamfer == ("chamfered edges 2 mm", "mill", 2 * (2 * 1000 / 25 + 5), 0.0)
    by_either = seconds(said(MODULE, replace(BUILD, body=body), milling(mill(6, 40, 0.1), TEN, removal=100.0)))
    assert by_either == [corners, chamfer]


def test_a_mill_for_round_corners_need_reach_no_deeper_than_half_the_plate() -> None:
    # 42 mm thick: 21 mm from each face, in five passes of 5 mm; a mill that reaches just so far, and one that does not.
    body = replace(BODY, corner=10.0, thickness=42.0)
    (corners,) = seconds(said(MODULE, replace(BUILD, body=body), milling(mill(8, 20, 50.0), mill(10, 21, 0.5))))
    assert corners[2] == round((4 - pi) * 100 * 42 / 1e6 + 2 * 5 * 20 * pi / 10 + 10, 3)


def test_a_chamfer_of_whole_passes_takes_no_more() -> None:
    (chamfer,) = said(MODULE, replace(BUILD, body=replace(BODY, chamfer=3.0)), milling(TEN))
    assert chamfer.basis == "2 passes around each face"


def test_a_step_as_wide_as_the_mill_is_the_widest() -> None:
    assert float(replace(OWN, step_over=Percentage(1)).step_over) == 1


@pytest.mark.parametrize(
    ("build", "pointer"),
    [(milled(POCKET), "/plate/features"), (replace(BUILD, body=replace(BODY, chamfer=1.0)), "/plate/edge_chamfer")],
)
def test_a_shop_that_states_no_figures_refuses_features(build: Build, pointer: str) -> None:
    with pytest.raises(Refusal, match="is not on offer") as refused:
        said(MODULE, build, shop())
    assert [fault.pointer for fault in refused.value.faults] == [pointer]


@pytest.mark.parametrize(
    "wrong",
    [
        {"step_over": Percentage(1.1)},
        {"step_over": Percentage(0)},
        {"step_down": Percentage(0)},
        {"chamfer_pass": Millimetres(0)},
    ],
)
def test_steps_of_nothing_or_wider_than_the_mill_are_refused(wrong: dict[str, Percentage]) -> None:
    with pytest.raises(ValueError, match="above 0"):
        replace(OWN, **wrong)
