"""Packing for export: treated crates by mass in whole ones, film by surface, and the bench's time for both."""

import pytest
from msgspec.structs import replace

from tallyplate.contract import Charge, Kilograms, PerPiece, PerSquareMetre, Refusal, Seconds, Services, ShopData
from tallyplate_plugins.costs.export import MODULE, Figures, Rates
from tests.costs.plain import BUILD, ORDER, said, shop

SHOP = shop(Figures(crate_load=Kilograms(32.4), plate=Seconds(180), crate=Seconds(1080)))
RATES = Rates(crate=PerPiece(8_000, 2), film=PerSquareMetre(450, 2))
EXPORT = replace(ORDER, services=Services(packing="export"))


def _exported(rates: Rates | None = RATES, at: ShopData = SHOP) -> list[Charge]:
    return list(MODULE.charges(BUILD, EXPORT, at, rates, ()))


def test_an_order_that_stays_in_the_country_takes_none_of_it() -> None:
    assert said(MODULE, BUILD, SHOP, RATES) == said(MODULE, BUILD, shop()) == []


def test_treated_crates_go_by_mass_and_film_by_surface() -> None:
    crates, film, sealing, lining = _exported()
    # 3.24 kg of a crate's 32.4 kg; 140 000 mm2 outside.
    assert (crates.item, crates.rate, crates.lot) == ("crates of heat-treated timber, marked (ISPM 15)", RATES.crate, 1)
    assert crates.per_plate == pytest.approx(0.1)
    assert (film.item, film.rate, film.lot) == ("barrier film", RATES.film, 0)
    assert film.per_plate == pytest.approx(0.14, rel=1e-9)
    assert (sealing.item, sealing.work_center, sealing.lot) == ("sealing plates in film", "bench", 0)
    assert sealing.per_plate == pytest.approx(0.05)  # hours
    assert (lining.item, lining.work_center) == ("lining crates", "bench")
    assert lining.per_plate == pytest.approx(0.1)
    assert lining.lot == pytest.approx(0.3)  # hours a crate
    assert not any(charge.per_order for charge in _exported())
    assert crates.basis == lining.basis == "3.2 kg a plate, 32 kg a crate"
    assert film.basis == "0.1400 m2 a plate"
    assert MODULE.whole_lots


@pytest.mark.parametrize(("rates", "at"), [(None, SHOP), (RATES, shop())])
def test_a_shop_that_does_not_pack_for_export_refuses_it(rates: Rates | None, at: ShopData) -> None:
    with pytest.raises(Refusal, match="is not on offer") as refused:
        _exported(rates, at)
    assert [fault.pointer for fault in refused.value.faults] == ["/services/packing"]
