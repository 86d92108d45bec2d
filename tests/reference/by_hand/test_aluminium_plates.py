"""Two bushed aluminium plates worked by hand: 600 x 400 x 40 mm, M12 at 50 mm, anodized, pinned to their table.

Every figure is written out from the demonstration's rate card and shop data (an invented firm); the arithmetic is
plain. Lengths mm, times s.
"""

from decimal import Decimal
from math import pi

import pytest

from tallyplate.answers import PriceAnswer
from tallyplate.installation import Installation
from tests.reference.by_hand.pocket import (
    POINT,
    fed,
    hours,
    kilograms,
    missing,
    out,
    pieces,
    rounded,
    share,
    square_metres,
    total,
)
from tests.reference.plates import priced

# Stock: 3 mm more on each sawn edge; rolled plate needs 1 mm to clean up on each face, 42 mm, and so 1.75 in. Precision
# plate needs 40.6 mm, comes in 2 in, and costs more by weight. 2700 kg/m3, 6 % scrap, 110 cm2/min.
BLANK_KG = 606 * 406 * 44.45 * 2.7e-6 * 1.06
PRECISION_KG = 606 * 406 * 50.8 * 2.7e-6 * 1.06
STOCK = [
    kilograms("Aluminium 6061-T6, plate", 2 * BLANK_KG, "7.90"),
    pieces("saw cuts", 2 * 2, "3.50"),
    hours("sawing", 2 * (606 + 406) * 44.45 / (110 * 100 / 60), "58"),
]

# Squaring: 600 cm3/min in roughing. Face mill of 80 mm with 6 teeth of 0.12 mm at 450 m/min; 7 strips of 600 + 80 mm.
# Around the edge twice.
REMOVAL = 600_000 / 60
TABLE_FEED = 0.12 * 6 * (450_000 / 60) / (pi * 80)
SQUARING = [
    hours("milling faces", 2 * (606 * 406 * 4.45 / REMOVAL + 2 * 7 * 680 / TABLE_FEED), "96"),
    hours("milling edges", 2 * ((606 * 406 - 600 * 400) * 40 / REMOVAL + 2 * 2000 / TABLE_FEED), "96"),
]

# Holes: drilled and reamed at 350 ft/min, tapped at 80. Feeds: 0.007 in up to half an inch, 0.011 up to an inch, 0.017
# above. Every tool is fed from 2 mm above the face, and a through hole 2 mm beyond.
DRILLING, REAMING, TAPPING = 350 * 304.8 / 60, 350 * 304.8 / 60, 80 * 304.8 / 60
FINE, COARSE, COARSEST = 0.007 * 25.4, 0.011 * 25.4, 0.017 * 25.4

SPOT = fed(2 + 5, FINE, DRILLING, 10) + out(2 + 5)

# The tap drill of M12, 10.3 mm, goes through 40 mm. It comes up once, after three diameters (30.9 mm), and goes down.
TAP_DRILL_WAY = 2 + 40 + 10.3 / 2 * POINT + 2
TAP_DRILL = fed(TAP_DRILL_WAY, FINE, DRILLING, 10.3) + out(TAP_DRILL_WAY + 2 * 30.9)

# The bushing of M12 is 26 mm outside and 16 mm long: core-drilled 0.012 in small, and reamed at twice a drill's feed.
CORE = 26 - 0.012 * 25.4
CORE_WAY = 2 + 16 + CORE / 2 * POINT
SEAT = (
    fed(CORE_WAY, COARSEST, DRILLING, CORE)
    + out(CORE_WAY)
    + 2 * fed(2 + 16, 2 * COARSEST, REAMING, 26)
)  # fmt: skip


def chamfer(diameter: float, feed: float) -> float:
    return fed(2 + 1, feed, DRILLING, diameter) + out(2 + 1)


TAP = 2 * fed(2 + 24, 1.75, TAPPING, 12)

# 11 columns x 7 rows at 50 mm. Pins take two of 39 combination holes, holding screws two of 38 tapped ones. The way is
# 7 x 500 + 6 x 50 mm at 30 m/min; each tool settles 0.4 s a hole, and changes in 5 s.
WAY = (7 * 500 + 6 * 50) / (30_000 / 60)
HOLES = [
    hours(
        "combination holes",
        2 * (37 * (SPOT + TAP_DRILL + SEAT + chamfer(26, COARSEST) + TAP) + 6 * (WAY + 37 * 0.4 + 5)),
        "96",
    ),
    hours("tapped holes", 2 * (36 * (SPOT + TAP_DRILL + chamfer(12, FINE) + TAP) + 4 * (WAY + 36 * 0.4 + 5)), "96"),
]

# 74 bushings: the first fifty at 8.90, the rest at 8.00; 14 s to press each.
INSERTS = [
    pieces("bushings M12", 50, "8.90"),
    pieces("bushings M12", 24, "8.00"),
    hours("fitting bushings M12", 74 * 14, "52"),
]

# Letters A to K and numbers 1 to 7, 4 s each, and 20 s to start on a side.
MARKING = [
    hours("engraving bottom side", 2 * (20 + 11 * 4), "96"),
    hours("engraving left side", 2 * (20 + 7 * 4), "96"),
]

# Mounting: six M16 holding screws as on the slots of any such table, at 17, 300 and 583 mm, 50 and 350 mm up.
HOLDING_WAY = 2 + 40 + 17.5 / 2 * POINT + 2
HOLDING = (
    SPOT
    + fed(HOLDING_WAY, COARSE, DRILLING, 17.5)
    + out(HOLDING_WAY)
    + fed(2 + 17.5, 0.8 * COARSEST, 0.8 * DRILLING, 26)
    + out(2 + 17.5)
    + chamfer(26, COARSEST)
)
HOLDING_PATH = (4 * 283 + 300) / (30_000 / 60)
# Two pins of 20 mm, one relieved, 34 mm inside the outer screws: reamed holes, blind, 30 mm deep.
PIN_CORE = 20 - 0.012 * 25.4
PIN_WAY = 2 + 30 + PIN_CORE / 2 * POINT
PIN = (
    SPOT
    + fed(PIN_WAY, COARSE, DRILLING, PIN_CORE)
    + out(PIN_WAY)
    + 2 * fed(2 + 30, 2 * COARSE, REAMING, 20)
    + chamfer(20, COARSE)
)
PIN_PATH = (549 - 51) / (30_000 / 60)
MOUNTING = [
    hours("holding holes", 2 * (6 * HOLDING + 4 * (HOLDING_PATH + 6 * 0.4 + 5)), "96"),
    hours("pin holes", 2 * (2 * PIN + 4 * (PIN_PATH + 2 * 0.4 + 5)), "96"),
    pieces("holding screws M16", 12, "2.70"),
    pieces("T-nuts M16", 12, "4.60"),
    pieces("round locating pins M16", 2, "6.20"),
    pieces("relieved locating pins M16", 2, "10.20"),
    hours("fitting locators", 2 * (40 + 60), "52"),
]

# Anodized on the whole surface and the hole walls, mouths left in; 140 USD at the least for the lot.
SURFACE = 2 * 600 * 400 + 2000 * 40
WALLS = (
    37 * pi * (26 * 16 + 10.3 * 24)  # combination holes
    + 36 * pi * 10.3 * 40  # tapped holes
    + 6 * pi * (26 * 17.5 + 17.5 * 22.5)  # holding holes
    + 2 * pi * 20 * 30  # pin holes
)
ANODIZED = square_metres("Anodized", 2 * (SURFACE + WALLS) / 1e6, "62")
FINISHING = [ANODIZED, missing("Anodized, up to the minimum", "140", ANODIZED)]

# At 0.05 mm a tenth of the holes is probed: 8 of 73. Programming: 40 min and 8 min for each of four kinds of hole. Two
# clampings of 25 min, once. Loading: 4 min a clamping, and 6 min for the hoist, as a plate weighs 25.9 kg.
LABOUR = [
    hours("probing holes", 2 * (600 + 8 * 9), "88"),
    hours("programming", 40 * 60 + 4 * 8 * 60, "92"),
    hours("setting up", 2 * 25 * 60, "96"),
    hours("loading plates", 2 * 2 * (4 + 6) * 60, "96"),
]

# Wrapped, in one crate of at most 400 kg: 6 min a plate and 12 min for the crate.
PACKING = [
    square_metres("wrapping", 2 * SURFACE / 1e6, "5.80"),
    pieces("crates", 1, "48"),
    hours("packing", 2 * 6 * 60, "52"),
    hours("closing crates", 12 * 60, "52"),
]

MADE = STOCK + SQUARING + HOLES + INSERTS + MARKING + MOUNTING + FINISHING + LABOUR + PACKING

# Overhead: 8 % on what is bought, 14 % on time. Margin: 22 % of the price is 22 / 78 of the cost.
BOUGHT = [*STOCK[:2], *INSERTS[:2], *MOUNTING[2:6], *FINISHING, *PACKING[:2]]
ON_BOUGHT = share("on material and parts", total(BOUGHT), "0.08")
ON_TIME = share("on time", total(MADE) - total(BOUGHT), "0.14")
COST = [*MADE, ON_BOUGHT, ON_TIME]
ALL = [*COST, share("margin", total(COST), "0.282051")]


@pytest.fixture(scope="module")
def answer(installation: Installation) -> PriceAnswer:
    return priced(installation, 2, material="al-6061-t6", finish="anodized")


@pytest.mark.parametrize("place", range(len(ALL)), ids=[worked.item for worked in ALL])
def test_a_line_is_what_the_pocket_calculator_says(place: int, answer: PriceAnswer) -> None:
    line = answer.lines[place]
    assert (line.item, Decimal(line.quantity), Decimal(line.rate), Decimal(line.amount)) == ALL[place]


def test_no_line_stands_beside_the_worked_ones_and_the_total_is_theirs(answer: PriceAnswer) -> None:
    assert [line.item for line in answer.lines] == [worked.item for worked in ALL]
    assert Decimal(answer.total) == total(ALL)
    assert Decimal(answer.unit_price) == rounded(total(ALL) / 2, 2)


def test_precision_plate_would_have_cost_more() -> None:
    assert PRECISION_KG * 9.40 > BLANK_KG * 7.90
