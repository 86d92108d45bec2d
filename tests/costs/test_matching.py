"""Matched plates: the common datum and every close-tolerance hole, a plate, and nothing of plates that are not."""

from typing import Any

import pytest
from msgspec.structs import replace

from tallyplate.contract import Bore, Charge, Hole, Refusal, Seconds, Services
from tallyplate_plugins.costs.matching import MODULE, Figures
from tests.costs.plain import BUILD, ORDER, holes, said, seconds, shop

SHOP = shop(Figures(datum=Seconds(480), hole=Seconds(20)))
REAMED = Hole((Bore(11.8, 20.0), Bore(12.0, 20.0, tolerance=0.018)))
GROUPS = (holes(7, hole=REAMED), holes(5), holes(2, hole=REAMED, mounting=True))


def _asked(at: Any = SHOP, **services: Any) -> list[Charge]:
    order = replace(ORDER, services=Services(**services))
    return list(MODULE.charges(replace(BUILD, holes=GROUPS), order, at, None, ()))


def test_plates_that_are_not_matched_are_charged_none() -> None:
    assert said(MODULE, replace(BUILD, holes=GROUPS), shop()) == _asked(rush=True) == []


def test_a_plate_takes_the_datum_and_each_close_tolerance_hole_of_its_pattern() -> None:
    found = _asked(matched=True)
    assert seconds(found) == [("measuring from the common datum", "inspection", 480 + 7 * 20, 0)]
    assert found[0].basis.startswith("7 close-tolerance holes a plate")


def test_a_shop_that_matches_no_plates_refuses_it_by_name() -> None:
    with pytest.raises(Refusal, match="is not on offer") as refused:
        _asked(shop(), matched=True)
    assert [fault.pointer for fault in refused.value.faults] == ["/services/matched"]
