"""A price list with breaks, worked by hand: graduated, as the product charges, against all units at the last price.

Common practice, no source: both ways are in use. Figures are invented.
"""

from decimal import Decimal

import pytest

from tallyplate.contract import Break, PerPiece, PriceBreaks

# 8.60 each for pieces 1 to 50, 7.70 for 51 to 250, 6.90 from 251 on.
LIST = PriceBreaks((Break(1, PerPiece(860, 2)), Break(51, PerPiece(770, 2)), Break(251, PerPiece(690, 2))))


def graduated(pieces: int) -> Decimal:
    """What the list charges: each step's pieces at the step's own price."""
    return sum((Decimal(price.text) * (last - first + 1) for price, first, last in LIST.steps(pieces)), Decimal())


@pytest.mark.parametrize(
    ("pieces", "by_hand"),
    [
        (1, "8.60"),
        (50, "430.00"),  # 50 x 8.60
        (51, "437.70"),  # 430.00 + 1 x 7.70
        (250, "1970.00"),  # 430.00 + 200 x 7.70
        (251, "1976.90"),  # 1970.00 + 1 x 6.90
        (300, "2315.00"),  # 1970.00 + 50 x 6.90
    ],
)
def test_each_piece_costs_what_its_own_place_in_the_order_says(pieces: int, by_hand: str) -> None:
    assert graduated(pieces) == Decimal(by_hand)


def test_all_units_at_the_last_price_would_make_a_larger_order_cheaper() -> None:
    # 250 x 7.70 = 1925.00, but 251 x 6.90 = 1731.90: the dip that the graduated list cannot have.
    assert 251 * Decimal("6.90") < 250 * Decimal("7.70")
    assert graduated(251) > graduated(250)
