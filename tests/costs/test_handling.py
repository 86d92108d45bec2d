"""Handles and lifting eyes: by the piece, and the time to screw handles on."""

from typing import Any

import pytest
from msgspec.structs import replace

from tallyplate.contract import Hardware, PerPiece, Refusal, Seconds
from tallyplate_plugins.costs.handling import MODULE, Figures, Rates
from tests.costs.plain import BUILD, said, shop

SHOP = shop(Figures(handle=Seconds(90)))
PIECE = PerPiece(1160, 2)
RATES = Rates(handle={"M10": PIECE}, lifting_eye={"M12": PerPiece(590, 2)})
HANDLED = replace(BUILD, accessories=(Hardware("handle", "M10", 4), Hardware("lifting_eye", "M12", 2)))


def test_a_plate_without_them_takes_none_of_it() -> None:
    assert said(MODULE, BUILD, shop(), None) == []


def test_handles_and_eyes_go_by_the_piece_and_handles_take_time() -> None:
    handles, fitting, eyes = said(MODULE, HANDLED, SHOP, RATES)
    assert (handles.item, handles.per_plate, handles.rate) == ("handles M10", 4, RATES.handle["M10"])
    assert (fitting.item, fitting.work_center) == ("fitting handles", "bench")
    assert fitting.per_plate * 3600 == pytest.approx(360)
    assert (eyes.item, eyes.per_plate, eyes.rate) == ("lifting eyes M12", 2, RATES.lifting_eye["M12"])


@pytest.mark.parametrize(
    ("rates", "at", "pointer", "message"),
    [
        (None, SHOP, "/plate/handles", "is not on offer"),
        (Rates(), SHOP, "/plate/handles", "M10; accepted: leave them out"),
        (Rates(handle={"M8": PIECE, "M6": PIECE}), SHOP, "/plate/handles", "M10; accepted: M6, M8"),
        (RATES, shop(), "/plate/handles", "is not on offer"),
        (replace(RATES, lifting_eye={}), SHOP, "/plate/lifting_eyes", "M12; accepted: leave them out"),
    ],
)
def test_what_has_no_price_is_refused_with_its_field_and_what_has_one(
    rates: Any, at: Any, pointer: str, message: str
) -> None:
    with pytest.raises(Refusal) as refused:
        said(MODULE, HANDLED, at, rates)
    (fault,) = refused.value.faults
    assert fault.pointer == pointer
    assert message in fault.message
