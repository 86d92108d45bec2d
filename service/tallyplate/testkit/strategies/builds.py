"""A strategy for builds: any body, blank, holes and hardware that the demonstration's shop could price."""

from functools import cache
from math import pi
from typing import Final

from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy
from msgspec.structs import replace

from tallyplate.contract import (
    Blank,
    Body,
    Build,
    Hardware,
    HoleGroup,
    Lattice,
    Layout,
    Marks,
    Points,
    Recess,
    ShopData,
    Table,
    Taken,
    combination_hole,
    holding_hole,
    locating_hole,
    pin_hole,
    tapped_hole,
)
from tallyplate.installation import Installation, load
from tallyplate.proof.bench import Bench

SIDES: Final = ("left", "right", "bottom", "top")
TOLERANCES: Final = (0.1, 0.05, 0.03, 0.02, 0.015, 0.01)
OUTLINES: Final = {False: 1.0, True: pi / 4}
"""Area and perimeter of an outline as shares of its box's, by whether it is a disc."""
KINDS: Final = ("tapped", "combination", "locating", "holding", "pin")


@cache
def tenths(least: int, most: int) -> SearchStrategy[float]:
    """Sizes in mm, to a tenth."""
    return st.integers(10 * least, 10 * most).map(lambda size: size / 10)


PLACES: Final = st.tuples(tenths(0, 999), tenths(0, 999))
MARKS: Final = st.lists(st.builds(Marks, st.sampled_from(SIDES), st.integers(1, 90)), max_size=3).map(tuple)
POINTS: Final = st.lists(PLACES, min_size=1, max_size=6).map(lambda at: Points(tuple(at)))


@st.composite
def lattices(draw: st.DrawFn) -> Lattice:
    """A small lattice that one kind takes, perhaps without its first position, or a column and a row."""
    pitch, taken = draw(tenths(20, 80)), draw(st.sampled_from(Taken))
    columns, rows = draw(st.integers(2, 12)), draw(st.integers(2, 12))
    full = Lattice(pitch, pitch, pitch, pitch, columns, rows, taken)
    if not draw(st.booleans()):
        return full
    if taken is Taken.ALL:
        return replace(full, pitch_y=2 * pitch, bare_columns=(columns - 1,), bare_rows=(0,))
    return replace(full, without=(next(full.nodes()),))


@st.composite
def groups(draw: st.DrawFn, thickness: float, shop: ShopData) -> HoleGroup:
    """Like holes of any kind that the contract knows, through a body of some thickness."""
    kind, screw = draw(st.sampled_from(KINDS)), draw(st.sampled_from(tuple(shop.screws)))
    one, other = draw(st.booleans()), draw(st.booleans())
    layout: Layout = draw(lattices() | POINTS)
    if kind == "tapped":
        hole = tapped_hole(screw, thickness, shop, insert=one)
    elif kind == "combination":
        hole = combination_hole(screw, thickness, shop, bushed=one, insert=other)
    elif kind == "locating":
        hole = locating_hole(screw, thickness, shop, bushed=one)
    else:
        hole = (
            holding_hole(screw, thickness, shop) if kind == "holding" else pin_hole(screw, thickness, shop, through=one)
        )
    return HoleGroup(kind, hole, layout, mounting=kind in {"holding", "pin"})


def body(material: str, length: float, width: float, thickness: float, *, disc: bool) -> Body:
    """A body of the same outline all the way through."""
    share = OUTLINES[disc]
    area, around = share * length * width, share * 2 * (length + width)
    surface = 2 * area + around * thickness
    return Body(material, length, width, thickness, area, around, area * thickness, surface, disc)


@cache
def demonstration() -> Installation:
    """What is installed, with the demonstration's data."""
    return load()


@cache
def fittings() -> tuple[tuple[Hardware, ...], tuple[Recess, ...]]:
    """The kinds of hardware and of seats that the installed families put on their plates."""
    known = demonstration()
    bench = Bench(known.families, {}, known.cards[-1], known.shops[-1])
    builds = [tried.build for tried in bench.sample]
    parts = {(part.kind, part.size): part for build in builds for part in build.hardware}
    seats = {seat.kind: seat for build in builds for seat in build.recesses}
    return tuple(parts.values()), tuple(seats.values())


@st.composite
def builds(draw: st.DrawFn, shop: ShopData | None = None) -> Build:
    """A build on one blank: what any family might make of what the shop offers."""
    shop = shop or demonstration().shops[-1]
    parts, seats = fittings()
    material, disc = draw(st.sampled_from(tuple(shop.materials))), draw(st.booleans())
    length, thickness = draw(tenths(50, 1200)), draw(tenths(10, 100))
    solid = body(material, length, length if disc else draw(tenths(50, 900)), thickness, disc=disc)
    form, allowance = draw(st.sampled_from(tuple(shop.materials[material].stock))), tenths(0, 20)
    return Build(
        body=solid,
        blank=Blank(
            form,
            solid.length + draw(allowance),
            solid.width + draw(allowance),
            thickness + draw(allowance),
        ),
        holes=tuple(draw(st.lists(groups(thickness, shop), min_size=1, max_size=3))),
        hardware=tuple(draw(st.lists(st.sampled_from(parts), max_size=3))) if parts else (),
        marks=draw(MARKS),
        recesses=tuple(draw(st.lists(st.sampled_from(seats), max_size=2))) if seats else (),
        table=Table("none"),
        finish=draw(st.sampled_from(tuple(shop.finishes))),
        position_tolerance=draw(st.sampled_from(TOLERANCES)),
        flatness=draw(st.sampled_from(TOLERANCES)),
        setups=draw(st.integers(1, 6)),
    )
