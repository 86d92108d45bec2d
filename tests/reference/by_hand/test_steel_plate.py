"""One mild steel plate worked by hand: 600 x 400 x 40 mm, M12 at 50 mm, tight, ground, keyed to its table.

Every figure is written out from the demonstration's rate card and shop data (an invented firm); the arithmetic is
plain. Steel is not bushed. Lengths mm, times s.
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
    share,
    square_metres,
    total,
)
from tests.reference.plates import priced

# Stock: 3 mm more on each sawn edge; 40 mm and 1 mm to clean up on each face ask for 42 mm, so a plate of 1.75 in.
# 7850 kg/m3 and 6 % scrap; the saw takes 32 cm2/min, one cut along and one across.
STOCK = [
    kilograms("Mild steel 1018, plate", 606 * 406 * 44.45 * 7.85e-6 * 1.06, "2.35"),
    pieces("saw cuts", 2, "3.50"),
    hours("sawing", (606 + 406) * 44.45 / (32 * 100 / 60), "58"),
]

# Squaring: 140 cm3/min in roughing. Face mill of 80 mm with 6 teeth of 0.12 mm at 160 m/min; strips of 60 mm. Along the
# length 7 strips of 600 + 80, along the width 10 strips of 400 + 80: 4760 against 4800 mm. Around the edge twice,
# 25 mm deep at most. Flatness is usual, but 0.014 mm of position is below 0.015 mm, so both faces are ground:
# 0.2 mm off each at 2000 mm3/min.
REMOVAL = 140_000 / 60
TABLE_FEED = 0.12 * 6 * (160_000 / 60) / (pi * 80)
SQUARING = [
    hours("milling faces", 606 * 406 * 4.45 / REMOVAL + 2 * 4760 / TABLE_FEED, "96"),
    hours("milling edges", (606 * 406 - 600 * 400) * 40 / REMOVAL + 2 * 2000 / TABLE_FEED, "96"),
    hours("grinding faces", 2 * 600 * 400 * 0.2 / (2000 / 60), "84"),
]

# Holes: drilled at 90 ft/min, reamed at 60, tapped at 55, bored at 150 m/min. Feeds: 0.007 in up to half an inch, 0.011
# in up to an inch. Every tool is fed from 2 mm above the face, and a through hole 2 mm beyond.
DRILLING, REAMING, TAPPING, BORING = 90 * 304.8 / 60, 60 * 304.8 / 60, 55 * 304.8 / 60, 150_000 / 60
FINE, COARSE = 0.007 * 25.4, 0.011 * 25.4

SPOT = fed(2 + 5, FINE, DRILLING, 10) + out(2 + 5)

# The tap drill of M12, 10.3 mm, goes through 40 mm. It comes up once, after three diameters (30.9 mm), and goes down.
TAP_DRILL_WAY = 2 + 40 + 10.3 / 2 * POINT + 2
TAP_DRILL = fed(TAP_DRILL_WAY, FINE, DRILLING, 10.3) + out(TAP_DRILL_WAY + 2 * 30.9)

# The seat above the thread is 16 mm wide and, like a bushing, 16 mm deep: core-drilled 0.012 in small, bored for
# position (tighter than 0.03 mm) at 0.08 mm a turn, reamed at twice a drill's feed, in and out.
CORE = 16 - 0.012 * 25.4
CORE_WAY = 2 + 16 + CORE / 2 * POINT
SEAT = (
    fed(CORE_WAY, COARSE, DRILLING, CORE)
    + out(CORE_WAY)
    + fed(18, 0.08, BORING, 16)
    + out(18)
    + 2 * fed(18, 2 * COARSE, REAMING, 16)
)


def chamfer(diameter: float, feed: float) -> float:
    return fed(2 + 1, feed, DRILLING, diameter) + out(2 + 1)


# Two diameters of full thread, 24 mm, are just what is left below the seat.
TAP = 2 * fed(2 + 24, 1.75, TAPPING, 12)

# 11 columns x 7 rows at 50 mm, 50 mm from the edges: 39 combination and 38 tapped holes, of which two tapped ones give
# way to holding screws, and two combination ones to key seats (see there). The way over all 77 is 7 x 500 + 6 x 50 mm
# at 30 m/min; each tool settles 0.4 s a hole, and changes in 5 s.
WAY = (7 * 500 + 6 * 50) / (30_000 / 60)
HOLES = [
    hours(
        "combination holes",
        37 * (SPOT + TAP_DRILL + SEAT + chamfer(16, COARSE) + TAP) + 7 * (WAY + 37 * 0.4 + 5),
        "96",
    ),
    hours("tapped holes", 36 * (SPOT + TAP_DRILL + chamfer(12, FINE) + TAP) + 4 * (WAY + 36 * 0.4 + 5), "96"),
]

# Letters A to K and numbers 1 to 7, 4 s each, and 20 s to start on a side.
MARKING = [
    hours("engraving bottom side", 20 + 11 * 4, "96"),
    hours("engraving left side", 20 + 7 * 4, "96"),
]

# Mounting: 18 mm slots at 100 mm take M16. Slots lie 50 and 350 mm up; a head of 26 mm and 4 mm of wall keep screws
# 17 mm from the ends, and no two are more than 400 mm apart: at 17, 300 and 583 mm. Six holes of 17.5 mm, through, with
# a counterbore 26 mm wide and 17.5 mm deep at 80 % of speed and feed (0.017 in above an inch).
HOLDING_WAY = 2 + 40 + 17.5 / 2 * POINT + 2
HOLDING = (
    SPOT
    + fed(HOLDING_WAY, COARSE, DRILLING, 17.5)
    + out(HOLDING_WAY)
    + fed(2 + 17.5, 0.8 * 0.017 * 25.4, 0.8 * DRILLING, 26)
    + out(2 + 17.5)
    + chamfer(26, 0.017 * 25.4)
)
HOLDING_PATH = (4 * 283 + 300) / (30_000 / 60)
# Two keys, 18 mm wide, in seats 54 x 18 x 6 mm; each is fitted in 150 s. They lie in the lower slot, as far out as the
# screws at 17 and 583 mm let them: 17.5 / 2 mm to a screw's wall, 2.5 mm of wall and 27 mm to the seat's middle are
# 38.25 mm, so at 55.25 and 544.75 mm, 50 mm up. There each lies across one hole of the lowest row, at 50 and 550 mm, A1
# and K1; a pitch farther in it would lie across one as well, and between them across two.
MOUNTING = [
    hours("holding holes", 6 * HOLDING + 4 * (HOLDING_PATH + 6 * 0.4 + 5), "96"),
    hours("key seats", 2 * 54 * 18 * 6 / REMOVAL + 5, "96"),
    pieces("holding screws M16", 6, "2.70"),
    pieces("T-nuts M16", 6, "4.60"),
    pieces("slot keys M16", 2, "16.50"),
    hours("fitting locators", 2 * 150, "52"),
]

# Black oxide on the whole surface and the hole walls, mouths left in; 110 USD at the least.
SURFACE = 2 * 600 * 400 + 2000 * 40
WALLS = (
    37 * pi * (16 * 16 + 10.3 * 24)  # combination holes
    + 36 * pi * 10.3 * 40  # tapped holes
    + 6 * pi * (26 * 17.5 + 17.5 * 22.5)  # holding holes
)
OXIDE = square_metres("Black oxide", (SURFACE + WALLS) / 1e6, "38")
FINISHING = [OXIDE, missing("Black oxide, up to the minimum", "110", OXIDE)]

# All 73 holes are probed below 0.02 mm: 10 min to set up and 9 s each. Programming: 40 min and 8 min for each of three
# kinds of hole and the key seats. Two clampings of 25 min. Loading: 4 min a clamping, and 6 min for the hoist, as the
# plate weighs 75 kg.
LABOUR = [
    hours("probing holes", 600 + 73 * 9, "88"),
    hours("programming", 40 * 60 + 4 * 8 * 60, "92"),
    hours("setting up", 2 * 25 * 60, "96"),
    hours("loading plates", 2 * (4 + 6) * 60, "96"),
]

# Wrapped, in one crate of at most 400 kg: 6 min for the plate and 12 min for the crate.
PACKING = [
    square_metres("wrapping", SURFACE / 1e6, "5.80"),
    pieces("crates", 1, "48"),
    hours("packing", 6 * 60, "52"),
    hours("closing crates", 12 * 60, "52"),
]

MADE = STOCK + SQUARING + HOLES + MARKING + MOUNTING + FINISHING + LABOUR + PACKING

# Overhead: 8 % on what is bought, 14 % on time. Margin: 22 % of the price is 22 / 78 of the cost.
BOUGHT = [*STOCK[:2], *MOUNTING[2:5], *FINISHING, *PACKING[:2]]
ON_BOUGHT = share("on material and parts", total(BOUGHT), "0.08")
ON_TIME = share("on time", total(MADE) - total(BOUGHT), "0.14")
COST = [*MADE, ON_BOUGHT, ON_TIME]
ALL = [*COST, share("margin", total(COST), "0.282051")]


@pytest.fixture(scope="module")
def answer(installation: Installation) -> PriceAnswer:
    keyed = {"surface": "t_slots", "slot_width": "18 mm", "slot_spacing": "100 mm", "locate": "keys"}
    return priced(installation, position_tolerance="0.014 mm", finish="black-oxide", mounting=keyed)


@pytest.mark.parametrize("place", range(len(ALL)), ids=[worked.item for worked in ALL])
def test_a_line_is_what_the_pocket_calculator_says(place: int, answer: PriceAnswer) -> None:
    line = answer.lines[place]
    assert (line.item, Decimal(line.quantity), Decimal(line.rate), Decimal(line.amount)) == ALL[place]


def test_no_line_stands_beside_the_worked_ones_and_the_total_is_theirs(answer: PriceAnswer) -> None:
    assert [line.item for line in answer.lines] == [worked.item for worked in ALL]
    assert Decimal(answer.total) == total(ALL)


def test_the_margin_is_twenty_two_hundredths_of_the_price() -> None:
    assert float(ALL[-1].amount / total(ALL)) == pytest.approx(0.22, abs=1e-5)
