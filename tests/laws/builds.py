"""A hypothesis strategy for builds that no family need have made: any body, blank and holes that can be priced."""

from math import pi

from hypothesis import strategies as st

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
from tests.strategies import CARD, SHOP

SCREWS = st.sampled_from(tuple(SHOP.screws))
PARTS = CARD.sections["mounting"].__struct_fields__
SIDES = ("left", "right", "bottom", "top")
OUTLINES = (1.0, pi / 4)
"""Area and perimeter of an outline as shares of its bounding box's: a rectangle's, a circle's."""


def tenths(least: int, most: int) -> st.SearchStrategy[float]:
    """Sizes in mm, to a tenth."""
    return st.integers(10 * least, 10 * most).map(lambda size: size / 10)


def body(material: str, length: float, width: float, thickness: float, outline: float) -> Body:
    """A body of the same outline all the way through."""
    plan_area, perimeter = outline * length * width, outline * 2 * (length + width)
    volume, surface = plan_area * thickness, 2 * plan_area + perimeter * thickness
    return Body(material, length, width, thickness, plan_area, perimeter, volume, surface)


@st.composite
def blanks(draw: st.DrawFn, around: Body) -> Blank:
    """A blank in a form that the material is sold in, with an allowance all around."""
    form = draw(st.sampled_from(tuple(SHOP.materials[around.material].stock)))
    length, width, thickness = draw(tenths(0, 20)), draw(tenths(0, 20)), draw(tenths(0, 20))
    return Blank(form, around.length + length, around.width + width, around.thickness + thickness)


@st.composite
def layouts(draw: st.DrawFn) -> Layout:
    """A small lattice, some of its nodes given up, or a handful of points."""
    if draw(st.booleans()):
        return Points(tuple(draw(st.lists(st.tuples(tenths(0, 999), tenths(0, 999)), min_size=1, max_size=8))))
    pitch, taken = draw(tenths(20, 80)), draw(st.sampled_from(Taken))
    columns, rows = draw(st.integers(1, 12)), draw(st.integers(1, 12))
    full = Lattice(pitch, pitch, pitch, pitch, columns, rows, taken)
    nodes = list(full.nodes())
    lost = draw(st.sets(st.sampled_from(nodes), max_size=4)) if nodes else ()
    return Lattice(pitch, pitch, pitch, pitch, columns, rows, taken, tuple(sorted(lost)))


@st.composite
def groups(draw: st.DrawFn, thickness: float) -> HoleGroup:
    """A group of any kind of hole that the trade has a word for."""
    kind = draw(st.sampled_from(("tapped", "combination", "locating", "holding", "pin")))
    screw, bushed, insert = draw(SCREWS), draw(st.booleans()), draw(st.booleans())
    holes: dict[str, Hole] = {
        "tapped": tapped_hole(screw, thickness, SHOP, insert=insert),
        "combination": combination_hole(screw, thickness, SHOP, bushed=bushed, insert=insert),
        "locating": locating_hole(screw, thickness, SHOP, bushed=bushed),
        "holding": holding_hole(screw, thickness, SHOP),
        "pin": pin_hole(screw, thickness, SHOP, through=insert),
    }
    return HoleGroup(kind, holes[kind], draw(layouts()), mounting=kind in {"holding", "pin"})


def recesses() -> st.SearchStrategy[Recess]:
    """A seat or two."""
    return st.builds(Recess, st.just("key_seat"), tenths(10, 60), tenths(10, 30), tenths(2, 10), st.integers(1, 4))


def hardware() -> st.SearchStrategy[Hardware]:
    """Parts that the rate card prices."""
    return st.builds(Hardware, st.sampled_from(PARTS), SCREWS, st.integers(1, 12))


def marks() -> st.SearchStrategy[Marks]:
    """The characters along a side."""
    return st.builds(Marks, st.sampled_from(SIDES), st.integers(1, 90))


@st.composite
def builds(draw: st.DrawFn) -> Build:
    """A build, and up to two more blanks that would serve."""
    material, outline = draw(st.sampled_from(tuple(SHOP.materials))), draw(st.sampled_from(OUTLINES))
    solid = body(material, draw(tenths(50, 1500)), draw(tenths(50, 900)), draw(tenths(10, 100)), outline)
    tolerances = st.sampled_from((0.1, 0.05, 0.03, 0.02, 0.015, 0.01))
    return Build(
        body=solid,
        blank=draw(blanks(solid)),
        other_blanks=tuple(draw(st.lists(blanks(solid), max_size=2))),
        holes=tuple(draw(st.lists(groups(solid.thickness), max_size=3))),
        hardware=tuple(draw(st.lists(hardware(), max_size=3))),
        marks=tuple(draw(st.lists(marks(), max_size=3))),
        recesses=tuple(draw(st.lists(recesses(), max_size=2))),
        table=Table("none"),
        finish=draw(st.sampled_from(tuple(SHOP.finishes))),
        position_tolerance=draw(tolerances),
        flatness=draw(tolerances),
        setups=draw(st.integers(1, 6)),
    )
