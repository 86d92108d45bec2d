"""Lengths one step away: in the unit and the manner of the caller, and lengths that a caller may write."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.inspect import CustomType

from tallyplate.tradeoffs import steps
from tallyplate.tradeoffs.choices import Choice
from tallyplate.tradeoffs.neighbours import neighbours
from tallyplate.units import LENGTH_UNITS, Length, UnitError, length
from tests.strategies import SHOP, in_mm, written

LENGTHS = st.builds(
    lambda mm, unit: written(Fraction(mm, 1000), unit), st.integers(1, 10**7), st.sampled_from(LENGTH_UNITS)
)


def _neighbours(name: str, text: str, material: str = "al-6061-t6") -> list[str]:
    choice = Choice(f"/plate/{name}", name, name, CustomType(Length), text, given=True)
    return [str(one.value) for one in neighbours(choice, {"material": material}, SHOP)]


@pytest.mark.parametrize(
    ("name", "text", "expected"),
    [
        ("pitch", "35 mm", ["30 mm", "40 mm"]),
        ("pitch", "36.5 mm", ["35 mm", "40 mm"]),
        ("pitch", "3.5 cm", ["3 cm", "4 cm"]),
        ("pitch", "5 mm", ["10 mm"]),
        ("pitch", "1 in", ["0.75 in", "1.25 in"]),
        ("pitch", "1 1/2 in", ["1 1/4 in", "1 3/4 in"]),
        ("pitch", "1/8 ft", ["5/48 ft", "7/48 ft"]),
        ("pitch", "0.125 ft", ["5/48 ft", "7/48 ft"]),
        ("position_tolerance", "0.05 mm", ["0.03 mm", "0.1 mm"]),
        ("position_tolerance", "0.04 mm", ["0.03 mm", "0.05 mm"]),
        ("position_tolerance", "50 um", ["30 um", "100 um"]),
        ("position_tolerance", "0.002 in", ["0.001 in", "0.003 in"]),
        ("flatness", "0.0001 mm", ["0.0002 mm"]),
        ("thickness", "40 mm", ["38 mm", "42 mm"]),
        ("thickness", "1.9 in", ["1.85 in", "1.95 in"]),
        ("thickness", "3 mm", ["4 mm"]),
        ("thickness", "200 mm", ["99.5 mm"]),
        ("width", "35 mm", []),
    ],
)
def test_neighbours_of_a_length_are_round_numbers_of_the_callers_unit(
    name: str, text: str, expected: list[str]
) -> None:
    assert _neighbours(name, text) == expected


def test_a_thickness_is_one_that_stock_of_the_material_leaves() -> None:
    assert _neighbours("thickness", "40 mm", "iron-grey") == ["35.5 mm", "48 mm"]


@given(LENGTHS, st.sampled_from(("pitch", "thickness", "flatness")))
def test_neighbours_lie_on_both_sides_and_a_caller_may_write_them(text: str | None, name: str) -> None:
    try:
        asked = length(text or "")
    except UnitError:
        return
    found = [length(one) for one in _neighbours(name, asked.text)]
    assert len(found) <= 2
    assert all(other != asked for other in found)
    assert sorted(found) == found
    assert {one.text.split()[-1] for one in found} <= {asked.text.split()[-1]}
    if len(found) == 2:
        assert found[0] < asked < found[1]


@given(st.fractions(Fraction(1, 64), 10**4, max_denominator=64), st.sampled_from(LENGTH_UNITS), st.booleans())
def test_a_length_is_written_so_that_it_reads_the_same(value: Fraction, unit: str, fraction: bool) -> None:
    one = steps.Manner(unit, fraction)
    mm = value * in_mm(f"1 {unit}")
    text = one.text(mm)
    if text:
        assert length(text) == pytest.approx(float(mm), rel=1e-12)
        assert ("/" in text) <= (fraction or (value * 10**9).denominator != 1)


@pytest.mark.parametrize(("text", "most"), [("35 mm", 24), ("1 in", 24), ("2000 mm", 24), ("0.001 mm", 24)])
def test_points_about_a_length_are_bounded_and_within_half_and_twice(text: str, most: int) -> None:
    found = list(steps.around(length(text), steps.PITCH["metric"], most))
    assert len(found) <= most
    assert all(length(text) / 2 <= float(one) <= 2 * length(text) for one in found)
