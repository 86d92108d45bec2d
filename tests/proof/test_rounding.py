"""What rounding may do, by hand: half a resolution at its rate and half a minor unit a line, shared on by shares."""

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from tallyplate.contract import CONTRACT, Charge, CostModule, PerKilogram, PerPiece, Share, Stage, subtotal
from tallyplate.proof.bench import Tried, priced
from tallyplate.proof.rounding import allowance
from tests.misbehaving import module
from tests.plates import installation
from tests.proof.bare import bench, only

WITHIN = Fraction(1, 100)
"""Of a minor unit: the engine takes a quantity within 1e-7 of a tie for a tie."""


def alone(tried: Tried) -> Tried:
    """A plate cut from the first of its blanks."""
    work = tried.work
    return Tried(tried.plate, tried.build, replace(work, builds=work.builds[:1], parts=work.parts[:1]))


def asking(charge: Charge, folder: Path) -> Tried:
    """A plate that costs one charge and nothing besides."""
    paint = CostModule(contract=CONTRACT, stage=Stage.MAKE, charges=lambda *_: (charge,), reads_order=False)
    return alone(bench(only(paint, folder)).sample[0])


@pytest.mark.parametrize(
    ("charge", "expected"),
    [
        (Charge("whole pieces at whole cents", 3, PerPiece(2000, 2)), Fraction(0)),
        (Charge("whole pieces at parts of a cent", 3, PerPiece(20001, 3)), 3 * Fraction(1, 2)),
        (Charge("parts of a piece at 20.00", 0.4, PerPiece(2000, 2)), 3 * Fraction(2000, 2)),
        (Charge("grams at 9.40/kg", 1.2345678, PerKilogram(940, 2)), 3 * (Fraction(940, 2000) + Fraction(1, 2))),
        (Charge("whole lots of a piece", 0.3, PerPiece(2000, 2), lot=1), Fraction(0)),
    ],
    ids=lambda value: getattr(value, "item", ""),
)
def test_twice_as_many_may_be_out_by_three_times_what_one_line_may(
    tmp_path: Path, charge: Charge, expected: Fraction
) -> None:
    # Once for the larger order, twice for the smaller one that is taken two times.
    tried = asking(charge, tmp_path)
    allowed = allowance(2, priced(tried.work, 5), priced(tried.work, 10), tried.work)
    assert expected <= allowed <= expected + WITHIN


def test_rounding_can_do_what_is_allowed_for_parts_of_a_piece(tmp_path: Path) -> None:
    charge = Charge("parts of a piece", 0.4, PerPiece(2000, 2))
    tried = asking(charge, tmp_path)
    assert (tried.total(1), tried.total(2)) == (0, 2000)


def test_a_share_multiplies_what_the_stage_before_is_out_by(tmp_path: Path) -> None:
    def on_top(*told: Any) -> Iterator[Charge]:
        yield Charge("half on top", 0, Share(5, 1), "", "", subtotal(told[-1]))

    coat = Charge("parts of a cent", 3, PerPiece(20001, 3))
    paint = CostModule(contract=CONTRACT, stage=Stage.MAKE, charges=lambda *_: (coat,), reads_order=False)
    tried = alone(bench(only(paint, tmp_path, on_top=module(on_top, Stage.MARGIN))).sample[0])
    # Of the coat 1/2, and half of that again; of the share 1/2 of its product, and half of the 1/2 of its quantity.
    expected = 3 * (Fraction(3, 2) * Fraction(1, 2) + Fraction(1, 2) + Fraction(1, 4))
    allowed = allowance(2, priced(tried.work, 5), priced(tried.work, 10), tried.work)
    assert expected <= allowed <= expected + WITHIN


def test_the_demonstrations_prices_are_allowed_a_thousandth_at_most() -> None:
    for tried in map(alone, bench(installation()).sample):
        many = priced(tried.work, 100)
        assert allowance(2, priced(tried.work, 50), many, tried.work) < Fraction(many.total, 1000)
