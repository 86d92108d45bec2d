"""How one build comes to have more than another: each way as a function from a build to a greater one.

What is not here is no dominance. A larger body in the same blank leaves less to mill away; a wider hole may be drilled
faster, for feed rises with the drill; steel is no more than aluminium.
"""

from collections.abc import Callable
from typing import Final, NamedTuple

from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy
from msgspec.structs import replace

from tallyplate.contract import Build, HoleGroup, Lattice, Marks, Points
from tallyplate.testkit.strategies.builds import PLACES, body, tenths

Growth = Callable[[st.DrawFn, Build], Build]


class Pair(NamedTuple):
    """A build, one that has more, and of what."""

    lesser: Build
    greater: Build
    way: str


def larger_blank(draw: st.DrawFn, build: Build) -> Build:
    """A larger blank, or a casting of more metal."""
    more = [draw(tenths(0, 60)) for _ in range(3)]
    blank = build.blank
    if blank.poured:
        return replace(build, blank=replace(blank, poured=blank.poured * (1 + more[0] / 100)))
    length, width, thickness = blank.length + more[0], blank.width + more[1], blank.thickness + more[2]
    return replace(build, blank=replace(blank, length=length, width=width, thickness=thickness))


def larger_body(draw: st.DrawFn, build: Build) -> Build:
    """A plain body and its blank larger by as much."""
    solid = build.body
    if solid.disc or solid.faces or solid.rim:
        return larger_blank(draw, build)
    grown = larger_blank(draw, build)
    length, width, thickness = (
        getattr(solid, side) + getattr(grown.blank, side) - getattr(build.blank, side)
        for side in ("length", "width", "thickness")
    )
    return replace(grown, body=body(solid.material, length, width, thickness, disc=False))


def deeper_holes(draw: st.DrawFn, build: Build) -> Build:
    """Every bore and thread of one group deeper by as much."""
    more = draw(tenths(0, 60))

    def deeper(group: HoleGroup) -> HoleGroup:
        hole = group.hole
        bores = tuple(replace(bore, depth=bore.depth + more) for bore in hole.bores)
        thread = hole.thread and replace(hole.thread, depth=hole.thread.depth + more)
        return replace(group, hole=replace(hole, bores=bores, thread=thread))

    return _one_group(draw, build, deeper)


def tighter(draw: st.DrawFn, build: Build) -> Build:
    """A tighter position tolerance and flatness."""
    position, flatness = (draw(st.sampled_from((0.2, 0.5, 0.9))) for _ in range(2))
    return replace(build, position_tolerance=position * build.position_tolerance, flatness=flatness * build.flatness)


def more_marks(draw: st.DrawFn, build: Build) -> Build:
    """More characters along every marked side, and another side."""
    more = draw(st.integers(0, 20))
    longer = tuple(replace(side, characters=side.characters + more) for side in build.marks)
    return replace(build, marks=(*longer, Marks("left", draw(st.integers(1, 40)))))


def more_setups(draw: st.DrawFn, build: Build) -> Build:
    """Clamped more often."""
    return replace(build, setups=build.setups + draw(st.integers(1, 4)))


def more_parts(draw: st.DrawFn, build: Build) -> Build:
    """More of every part."""
    more = draw(st.integers(1, 4))
    return replace(build, hardware=tuple(replace(part, count=part.count + more) for part in build.hardware))


WAYS: Final[tuple[Growth, ...]] = (
    larger_blank,
    larger_body,
    deeper_holes,
    tighter,
    more_marks,
    more_setups,
    more_parts,
)


@st.composite
def grown(draw: st.DrawFn, smaller: SearchStrategy[Build], way: Growth | None = None) -> Pair:
    """A build, and one that has more of something other than holes: by one way, or by any of `WAYS`."""
    way = way or draw(st.sampled_from(WAYS))
    build = draw(smaller)
    return Pair(build, way(draw, build), (way.__doc__ or "").rstrip(".").lower())


@st.composite
def with_more_holes(draw: st.DrawFn, smaller: SearchStrategy[Build]) -> Pair:
    """A build, and one that has all its holes and some more: a column or a row, a point on the way, another group."""
    build = draw(smaller)
    columns, rows = draw(st.sampled_from(((1, 0), (0, 1), (5, 5))))

    def more(group: HoleGroup) -> HoleGroup:
        layout = group.layout
        if isinstance(layout, Points):
            return replace(group, layout=Points((*layout.at, draw(PLACES))))
        return replace(group, layout=replace(layout, columns=layout.columns + columns, rows=layout.rows + rows))

    another = tuple(group for group in build.holes if isinstance(group.layout, Lattice) and group.layout.spans)
    if another:  # its rows differ, so that one column more is none of a rectangle
        greater = replace(build, holes=(*build.holes, replace(another[0], layout=Points((draw(PLACES),)))))
    else:
        greater = _one_group(draw, build, more)
    return Pair(build, greater, "more holes")


def _one_group(draw: st.DrawFn, build: Build, change: Callable[[HoleGroup], HoleGroup]) -> Build:
    place = draw(st.integers(0, len(build.holes) - 1))
    return replace(build, holes=(*build.holes[:place], change(build.holes[place]), *build.holes[place + 1 :]))
