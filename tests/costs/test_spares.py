"""Spares by the piece with graduated breaks, once an order; a lid of plugs, one a hole of the pattern."""

from typing import Any

import pytest
from msgspec.structs import replace

from tallyplate.contract import (
    Bore,
    Break,
    Build,
    Charge,
    Hole,
    PerPiece,
    PriceBreaks,
    Refusal,
    Seconds,
    Services,
    Spares,
    plugs,
)
from tallyplate_plugins.costs.spares import MODULE, Figures, Rates
from tests.costs.plain import BUILD, ORDER, holes, said, seconds, shop


def _list(first: int, later: int) -> PriceBreaks:
    return PriceBreaks((Break(1, PerPiece(first, 2)), Break(11, PerPiece(later, 2))))


BUSHINGS, PLUGS, SCREWS = _list(900, 800), _list(40, 30), _list(95, 90)
SIZES = ("M10", "M12")
RATES = Rates(*(dict.fromkeys(SIZES, price) for price in (BUSHINGS, PLUGS, SCREWS)))
SHOP = shop(Figures(bag=Seconds(120), plug=Seconds(3)))
M10, M12 = (Hole((Bore(8.0, 20.0),), size=size) for size in SIZES)


def _asked(build: Build = BUILD, rates: Rates | None = RATES, at: Any = SHOP, **services: Any) -> list[Charge]:
    return list(MODULE.charges(build, replace(ORDER, services=Services(**services)), at, rates, ()))


def test_an_order_that_asks_for_none_is_charged_none_whatever_the_card_states() -> None:
    assert said(MODULE, BUILD, SHOP, RATES) == said(MODULE, BUILD, shop()) == []
    assert _asked(rates=None, at=shop(), spares=Spares(bushings={})) == []


def test_spares_go_by_the_piece_once_an_order_and_are_bagged_by_kind_and_size() -> None:
    found = _asked(spares=Spares(bushings={"M12": 12, "M10": 3}, plugs={"M10": 7}, screws={"M12": 5}))
    bought, bagging = found[::2], found[1::2]
    assert [(one.item, one.rate, one.per_plate, one.per_order) for one in bought] == [
        ("spare bushings M10", BUSHINGS, 0, 3),
        ("spare bushings M12", BUSHINGS, 0, 12),
        ("spare hole plugs M10", PLUGS, 0, 7),
        ("spare clamping screws M12", SCREWS, 0, 5),
    ]
    assert seconds(bagging) == [(f"bagging {one.item}", "bench", 0, 120) for one in bought]
    assert all(one.common for one in found)


def test_a_lid_takes_a_plug_for_each_hole_of_the_pattern_and_time_to_press_it_in() -> None:
    groups = (holes(7, hole=M12), holes(4, hole=M10), holes(5, hole=M12), holes(6, hole=M12, mounting=True))
    found = _asked(replace(BUILD, holes=groups), plugs="every_hole")
    assert [(one.item, one.rate, one.per_plate, one.per_order) for one in found[::2]] == [
        ("hole plugs M12", PLUGS, 12, 0),
        ("hole plugs M10", PLUGS, 4, 0),
    ]
    assert seconds(found[1::2]) == [
        ("fitting hole plugs M12", "bench", 36, 0),
        ("fitting hole plugs M10", "bench", 12, 0),
    ]
    assert found[1].basis == "12 a plate, 3 s each"


def test_a_hole_bored_to_size_has_the_plug_of_the_screw_that_its_locator_goes_with_and_a_centre_bore_none() -> None:
    bored = Hole((Bore(5.0, 20.0), Bore(float(SHOP.screws["M12"].locating), 20.0)))
    centre = Hole((Bore(123.4, 20.0),))
    found = plugs(replace(BUILD, holes=(holes(9, hole=bored), holes(1, hole=centre))), SHOP)
    assert [(one.kind, one.size, one.count) for one in found] == [("plug", "M12", 9)]


def test_a_screw_that_is_not_on_offer_is_refused_by_its_place_with_what_is() -> None:
    with pytest.raises(Refusal, match="accepted: M10, M12") as refused:
        _asked(spares=Spares(screws={"M13": 1}))
    assert [fault.pointer for fault in refused.value.faults] == ["/services/spares/screws"]


@pytest.mark.parametrize(
    ("service", "pointer"),
    [({"plugs": "every_hole"}, "/services/plugs"), ({"spares": Spares(plugs={"M10": 1})}, "/services/spares")],
)
@pytest.mark.parametrize("stated", [True, False])
def test_a_shop_that_sells_no_parts_refuses_them_by_name(service: dict[str, Any], pointer: str, stated: bool) -> None:
    with pytest.raises(Refusal, match="is not on offer") as refused:
        _asked(rates=RATES if stated else None, at=shop() if stated else SHOP, **service)
    assert [fault.pointer for fault in refused.value.faults] == [pointer]


def test_a_card_has_to_price_what_the_shop_offers() -> None:
    assert MODULE.gaps
    lacking = set(SHOP.screws) - set(SIZES)
    assert set(MODULE.gaps(RATES, SHOP)) == {
        f"{kind}.{screw}" for kind in ("bushings", "plugs", "screws") for screw in lacking
    }
