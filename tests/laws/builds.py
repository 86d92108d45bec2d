"""A hypothesis strategy for builds that no family need have made: any body, blank and holes that can be priced."""

from functools import cache
from math import floor, pi

from hypothesis import strategies as st
from msgspec.structs import replace

from tallyplate.contract import (
    Blank,
    Body,
    Build,
    Hardware,
    Hole,
    HoleGroup,
    Lattice,
    Layout,
    Marks,
    Points,
    Recess,
    Table,
    Taken,
    combination_hole,
    holding_hole,
    locating_hole,
    pin_hole,
    tapped_hole,
)
from tests.strategies import CARD, SHOP, one_of

PARTS = tuple(CARD.sections["mounting"].__struct_fields__)
SIDES = ("left", "right", "bottom", "top")
TOLERANCES = (0.1, 0.05, 0.03, 0.02, 0.015, 0.01)
OUTLINES = (1.0, pi / 4)
"""Area and perimeter of an outline as shares of its bounding box's: a rectangle's, a circle's."""


@cache
def tenths(least: int, most: int) -> st.SearchStrategy[float]:
    """Sizes in mm, to a tenth."""
    return st.integers(10 * least, 10 * most).map(lambda size: size / 10)


SCREWS = st.sampled_from(tuple(SHOP.screws))
PLACES = st.tuples(tenths(0, 999), tenths(0, 999))
HARDWARE = st.builds(Hardware, st.sampled_from(PARTS), SCREWS, st.integers(1, 12))
MARKS = st.builds(Marks, st.sampled_from(SIDES), st.integers(1, 90))
RECESSES = st.builds(Recess, st.just("key_seat"), tenths(10, 60), tenths(10, 30), tenths(2, 10), st.integers(1, 4))
# Few of each, and each list made once: hypothesis takes its time over a strategy that it has not seen before.
POINTS = st.lists(PLACES, min_size=1, max_size=8).map(lambda at: Points(tuple(at)))
BARE = st.sets(st.integers(0, 11), max_size=3)
LOST = st.sets(st.integers(0, 143), max_size=4)
SOME_HARDWARE = st.lists(HARDWARE, max_size=3).map(tuple)
SOME_MARKS = st.lists(MARKS, max_size=3).map(tuple)
SOME_RECESSES = st.lists(RECESSES, max_size=2).map(tuple)


def body(material: str, length: float, width: float, thickness: float, outline: float) -> Body:
    """A body of the same outline all the way through."""
    plan_area, perimeter = outline * length * width, outline * 2 * (length + width)
    volume, surface = plan_area * thickness, 2 * plan_area + perimeter * thickness
    return Body(material, length, width, thickness, plan_area, perimeter, volume, surface)


def lifted(material: str, length: float, width: float) -> float:
    """Thickness of the heaviest rectangle of a size that one person may lift, to a tenth of a millimetre below."""
    return floor(10 * SHOP.limits.one_person_lift / (SHOP.materials[material].density * length * width)) / 10


def blank(draw: st.DrawFn, around: Body) -> Blank:
    """A blank in a form that the material is sold in, with an allowance all around."""
    form, allowance = one_of(draw, *SHOP.materials[around.material].stock), tenths(0, 20)
    return Blank(
        form, around.length + draw(allowance), around.width + draw(allowance), around.thickness + draw(allowance)
    )


def layout(draw: st.DrawFn) -> Layout:
    """A small lattice, some of its rows and columns left out and nodes given up, or a handful of points."""
    if draw(st.booleans()):
        return draw(POINTS)
    pitch, taken = draw(tenths(20, 80)), one_of(draw, *Taken)
    columns, rows = draw(st.integers(1, 12)), draw(st.integers(1, 12))
    across = one_of(draw, pitch, 2 * pitch, pitch + 7)
    bare = [tuple(sorted(each for each in draw(BARE) if each < count)) for count in (columns, rows)]
    full = Lattice(pitch, pitch, pitch, across, columns, rows, taken, (), (), *bare)
    nodes = dict(enumerate(full.nodes()))
    lost = [nodes[place] for place in sorted(draw(LOST)) if place in nodes]
    return replace(full, without=tuple(lost))


def group(draw: st.DrawFn, thickness: float) -> HoleGroup:
    """A group of any kind of hole that the trade has a word for."""
    kind = one_of(draw, "tapped", "combination", "locating", "holding", "pin")
    screw, bushed, insert = draw(SCREWS), draw(st.booleans()), draw(st.booleans())
    holes: dict[str, Hole] = {
        "tapped": tapped_hole(screw, thickness, SHOP, insert=insert),
        "combination": combination_hole(screw, thickness, SHOP, bushed=bushed, insert=insert),
        "locating": locating_hole(screw, thickness, SHOP, bushed=bushed),
        "holding": holding_hole(screw, thickness, SHOP),
        "pin": pin_hole(screw, thickness, SHOP, through=insert),
    }
    return HoleGroup(kind, holes[kind], layout(draw), mounting=kind in {"holding", "pin"})


@st.composite
def builds(draw: st.DrawFn) -> Build:
    """A build, and up to two more blanks that would serve."""
    material, outline = one_of(draw, *SHOP.materials), one_of(draw, *OUTLINES)
    length, width, thickness = draw(tenths(50, 1500)), draw(tenths(50, 900)), draw(tenths(10, 100))
    solid = body(material, length, width, one_of(draw, thickness, lifted(material, length, width)), outline)
    return Build(
        body=solid,
        blank=blank(draw, solid),
        other_blanks=tuple(blank(draw, solid) for _ in range(one_of(draw, 0, 1, 2))),
        holes=tuple(group(draw, solid.thickness) for _ in range(one_of(draw, 1, 2, 3))),
        hardware=draw(SOME_HARDWARE),
        marks=draw(SOME_MARKS),
        recesses=draw(SOME_RECESSES),
        table=Table("none"),
        finish=one_of(draw, *SHOP.finishes),
        position_tolerance=one_of(draw, *TOLERANCES),
        flatness=one_of(draw, *TOLERANCES),
        setups=draw(st.integers(1, 6)),
    )
