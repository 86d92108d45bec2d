"""Wrapping by surface, and crates by mass: a plate takes its share of a crate, an order whole ones."""

import pytest

from tallyplate.contract import Kilograms, PerPiece, PerSquareMetre, Seconds
from tallyplate_plugins.costs.packing import MODULE, Figures, Rates
from tests.costs.plain import BUILD, said, shop

SHOP = shop(Figures(crate_load=Kilograms(32.4), plate=Seconds(360), crate=Seconds(720)))
RATES = Rates(wrap=PerSquareMetre(580, 2), crate=PerPiece(4_800, 2))


def test_a_plate_is_wrapped_by_its_surface_and_takes_its_share_of_a_crate() -> None:
    wrapping, crates, packing, closing = said(MODULE, BUILD, SHOP, RATES)
    # 140 000 mm2 outside; 3.24 kg of a crate's 32.4 kg.
    assert (wrapping.item, wrapping.rate, wrapping.lot) == ("wrapping", RATES.wrap, 0)
    assert wrapping.per_plate == pytest.approx(0.14, rel=1e-9)
    assert (crates.item, crates.rate, crates.lot) == ("crates", RATES.crate, 1)
    assert crates.per_plate == pytest.approx(0.1)
    assert (packing.item, packing.work_center, packing.lot) == ("packing", "bench", 0)
    assert packing.per_plate == pytest.approx(0.1)  # hours
    assert (closing.item, closing.work_center) == ("closing crates", "bench")
    assert closing.per_plate == pytest.approx(0.1)
    assert closing.lot == pytest.approx(0.2)  # hours a crate
    assert not any(charge.per_order for charge in (wrapping, crates, packing, closing))


def test_packing_says_that_it_prices_whole_lots() -> None:
    # Only so may a unit price rise with the quantity.
    assert MODULE.whole_lots
