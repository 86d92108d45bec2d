"""A plate split into sections: together they have the holes of the whole plate, where the whole plate has them."""

from typing import Any

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallyplate.contract import Build, Lattice, Refusal
from tallyplate.sets.sections import SplitAnswer, split
from tests.plates import built, installation
from tests.sets.orders import answered

WHOLE: dict[str, Any] = {
    "family": "rectangular",
    "length": "2400 mm",
    "width": "600 mm",
    "thickness": "48 mm",
    "material": "al-6061-t6",
    "mounting": {"surface": "none"},
    "pattern": {"pitch": "50 mm", "screw": "M12", "margin": "25 mm"},
}


def _split(plate: dict[str, Any], sections: int = 2, along: str = "length", **more: Any) -> SplitAnswer:
    asked = {"plate": plate, "sections": sections, "along": along, **more}
    return split(asked, installation().families)


def _refused(plate: dict[str, Any], sections: int = 2, along: str = "length") -> dict[str, str]:
    with pytest.raises(Refusal) as refused:
        _split(plate, sections, along)
    return {fault.pointer: fault.message for fault in refused.value.faults}


def _holes(build: Build, away: tuple[float, float] = (0.0, 0.0)) -> set[tuple[str, float, float]]:
    """Each hole of the pattern, to the micrometre, from the lower left corner of the whole plate."""
    found = set()
    for group in build.holes:
        assert isinstance(group.layout, Lattice)
        found |= {(group.kind, round(x + away[0], 3), round(y + away[1], 3)) for x, y in group.layout.positions()}
    return found


@given(
    st.sampled_from(["length", "width"]),
    st.integers(2, 4),
    st.sampled_from(["alternating", "combination"]),
    st.integers(600, 1000),
    st.sampled_from([40.0, 50.0, 38.1]),
    st.sampled_from([20.0, 25.0, 17.5]),
)
def test_sections_have_the_holes_of_the_whole_plate_where_it_has_them(
    along: str, sections: int, arrangement: str, side: int, pitch: float, margin: float
) -> None:
    pattern = {"arrangement": arrangement, "pitch": f"{pitch} mm", "margin": f"{min(margin, pitch / 2)} mm"}
    plate = {**WHOLE, "length": f"{side} mm", "width": f"{1600 - side} mm", "pattern": {**pattern, "screw": "M10"}}
    found, start = set(), 0.0
    for section in _split(plate, sections, along).plates:
        build = built({"/plate": section.plate})
        found |= _holes(build, (start, 0.0) if along == "length" else (0.0, start))
        start += build.body.length if along == "length" else build.body.width
    assert found == _holes(built({"/plate": plate}))
    assert start == pytest.approx(side if along == "length" else 1600 - side)


def test_sections_are_joined_to_their_neighbours_and_named() -> None:
    three = _split(WHOLE, 3, name="bed").plates
    assert [one.joined for one in three] == [("right",), ("left", "right"), ("left",)]
    assert [one.name for one in three] == [f"bed, section {number} of 3" for number in (1, 2, 3)]
    assert [one.joined for one in _split(WHOLE, 2, "width").plates] == [("top",), ("bottom",)]


def test_a_plate_beyond_the_machine_is_made_in_sections_that_a_set_prices() -> None:
    whole = installation().price({"plate": WHOLE, "as_of": "2026-03-02"})
    assert "beyond-travel" in {one.code for one in whole.findings}
    offered = _split(WHOLE)
    answer = answered(*msgspec.to_builtins(offered)["plates"])
    codes = [[one.code for one in plate.findings] for plate in answer.plates]
    assert all("joined" in found and "beyond-travel" not in found for found in codes)
    assert [one.code for one in offered.findings] == ["joined"]
    assert "neither as stiff nor as true as one piece" in offered.findings[0].message


def test_the_margin_may_be_wider_than_half_a_pitch_where_no_row_is_gained_by_it() -> None:
    pattern = {**WHOLE["pattern"], "margin": "50 mm"}
    for section in _split({**WHOLE, "pattern": pattern}).plates:
        assert section.plate["pattern"]["margin"] == "25 mm"
    assert set(_refused({**WHOLE, "width": "640 mm", "pattern": pattern})) == {"/plate/pattern/margin"}
    assert set(_refused({**WHOLE, "length": "2440 mm", "pattern": pattern})) == {"/plate/pattern/margin"}


@pytest.mark.parametrize(
    ("changes", "pointer", "says"),
    [
        ({"corner_radius": "10 mm"}, "/plate/corner_radius", "of the whole plate"),
        ({"marking": {"text": "A1"}}, "/plate/marking/text", "on every section"),
        ({"pattern": {"margin": "25 mm"}}, "/plate/pattern/pitch", "is needed"),
        ({"pattern": {"pitch": "50 mm"}}, "/plate/pattern/margin", "is needed"),
        ({"pattern": {**WHOLE["pattern"], "arrangement": "separate"}}, "/plate/pattern/arrangement", "two lattices"),
        ({"pattern": {**WHOLE["pattern"], "origin": {"x": "30 mm", "y": "30 mm"}}}, "/plate/pattern/origin", "joint"),
        ({"length": "2400"}, "/plate/length", "unit"),
    ],
)
def test_what_is_not_carried_over_a_joint_is_refused_by_name(changes: dict[str, Any], pointer: str, says: str) -> None:
    found = _refused({**WHOLE, **changes})
    assert list(found) == [pointer]
    assert says in found[pointer]


def test_another_family_is_not_split() -> None:
    disc = {"family": "round", "diameter": "300 mm", "material": "al-6061-t6"}
    assert "accepted for a plate that is split: rectangular" in _refused(disc)["/plate/family"]


def test_more_sections_than_the_lattice_has_room_for_are_refused_with_how_many() -> None:
    small = {**WHOLE, "length": "250 mm"}  # five columns
    assert "accepted: at most 2" in _refused(small, 3)["/sections"]
    pattern = {**WHOLE["pattern"], "arrangement": "combination"}
    assert len(_split({**small, "pattern": pattern}, 5).plates) == 5
    assert set(_refused(small, 11)) == set(_refused(small, 1)) == {"/sections"}
