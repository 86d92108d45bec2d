"""Bushings and threaded inserts: pieces by their price list, and the bench's time to fit each."""

from msgspec.structs import replace

from tallyplate.contract import Break, PerPiece, PriceBreaks, Seconds
from tallyplate_plugins.costs.inserts import MODULE, Figures, Rates
from tests.costs.plain import BUILD, SIMPLE, holes, said, shop

SHOP = shop(Figures(bushing=Seconds(45), thread_insert=Seconds(20)))
BUSHING = PriceBreaks((Break(1, PerPiece(900, 2)),))
INSERT = PriceBreaks((Break(1, PerPiece(200, 2)),))
RATES = Rates(bushing={"M12": BUSHING}, thread_insert={"M12": INSERT})


def test_parts_are_bought_by_the_piece_and_fitted_at_the_bench() -> None:
    both = replace(SIMPLE, parts=("bushing", "thread_insert"), size="M12")
    threaded = replace(SIMPLE, parts=("thread_insert",), size="M12")
    build = replace(BUILD, holes=(holes(6, hole=both), holes(4, hole=threaded), holes(5)))
    charged = [
        (one.item, one.per_plate if one.rate else round(one.per_plate * 3600, 6), one.rate, one.work_center)
        for one in said(MODULE, build, SHOP, RATES)
    ]
    assert charged == [
        ("bushings M12", 6, BUSHING, ""),
        ("fitting bushings M12", 6 * 45, None, "bench"),
        ("threaded inserts M12", 10, INSERT, ""),
        ("fitting threaded inserts M12", 10 * 20, None, "bench"),
    ]


def test_a_gap_is_a_screw_whose_part_has_no_price() -> None:
    three = {name: SHOP.screws[name] for name in ("M10", "M12", "M16")}
    rates = Rates(bushing={"M12": BUSHING}, thread_insert={"M10": INSERT, "M12": INSERT})
    assert MODULE.gaps is not None
    assert list(MODULE.gaps(rates, replace(SHOP, screws=three))) == ["bushing.M10", "bushing.M16", "thread_insert.M16"]
