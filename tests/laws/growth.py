"""How one build comes to dominate another: each way of being more, as a function from a build to a larger one.

What is not here is no dominance. A larger body in the same blank leaves less to mill away. A wider hole, or one for a
larger screw, may be drilled faster: feed rises with the drill. Steel is no more than aluminium.
"""

from collections.abc import Callable

from hypothesis import strategies as st
from msgspec.structs import replace

from tallyplate.contract import Bore, Build, Hole, HoleGroup, Lattice, Points
from tests.laws.builds import HARDWARE, MARKS, PLACES, RECESSES, SIDES, body, group, tenths
from tests.strategies import one_of

Growth = Callable[[st.DrawFn, Build], Build]

BETTER = {"plain": ("black-oxide", "anodized", "hard-anodized"), "anodized": ("hard-anodized",)}
"""Finishes by those that cost more by area and by the lot."""


def larger_blanks(draw: st.DrawFn, build: Build, body_too: bool = False) -> Build:
    """Every blank larger by as much; with it the body, so that no less is milled away."""
    more = [draw(tenths(0, 60)) for _ in range(3)]

    def grown(blank: object) -> dict[str, float]:
        sizes = zip(("length", "width", "thickness"), more, strict=True)
        return {name: getattr(blank, name) + extra for name, extra in sizes}

    blank, *others = (replace(blank, **grown(blank)) for blank in (build.blank, *build.other_blanks))
    solid = build.body
    if body_too:
        solid = body(solid.material, **grown(solid), outline=solid.plan_area / (solid.length * solid.width))
    return replace(build, body=solid, blank=blank, other_blanks=tuple(others))


def larger_body(draw: st.DrawFn, build: Build) -> Build:
    """Body and blanks larger by as much."""
    return larger_blanks(draw, build, body_too=True)


def more_holes(draw: st.DrawFn, build: Build) -> Build:
    """A group more, or more positions: a column, a row, what was given up or left out, a point on the way."""
    if not build.holes or draw(st.booleans()):
        another = group(draw, build.body.thickness)
        return replace(build, holes=(*build.holes, another))

    def more(one: HoleGroup) -> HoleGroup:
        layout = one.layout
        if isinstance(layout, Points):
            place = draw(st.integers(0, layout.count))
            new = draw(PLACES)
            return replace(one, layout=Points((*layout.at[:place], new, *layout.at[place:])))
        return replace(one, layout=_larger_lattice(draw, layout))

    return _with_one_group(draw, build, more)


def _larger_lattice(draw: st.DrawFn, lattice: Lattice) -> Lattice:
    if draw(st.booleans()) and lattice.without:
        return replace(lattice, without=lattice.without[1:])
    if lattice.bare_rows or lattice.bare_columns:
        return replace(lattice, bare_rows=lattice.bare_rows[1:], bare_columns=lattice.bare_columns[:-1])
    columns, rows = one_of(draw, (1, 0), (0, 1))
    return replace(lattice, columns=lattice.columns + columns, rows=lattice.rows + rows)


def _with_one_group(draw: st.DrawFn, build: Build, change: Callable[[HoleGroup], HoleGroup]) -> Build:
    place = draw(st.integers(0, len(build.holes) - 1))
    return replace(build, holes=(*build.holes[:place], change(build.holes[place]), *build.holes[place + 1 :]))


def _with_one_hole(draw: st.DrawFn, build: Build, change: Callable[[Hole], Hole]) -> Build:
    if not build.holes:
        return build
    return _with_one_group(draw, build, lambda one: replace(one, hole=change(one.hole)))


def deeper_holes(draw: st.DrawFn, build: Build) -> Build:
    """A hole broken through, every bore of it deeper by as much, or its thread deeper."""
    more, way = draw(tenths(0, 60)), one_of(draw, "through", "bores", "thread")

    def deeper(hole: Hole) -> Hole:
        if way == "thread":
            return replace(hole, thread=hole.thread and replace(hole.thread, depth=hole.thread.depth + more))
        bores = tuple(replace(bore, depth=bore.depth + more * (way == "bores")) for bore in hole.bores)
        return replace(hole, bores=bores, through=True)

    return _with_one_hole(draw, build, deeper)


def closer_holes(draw: st.DrawFn, build: Build) -> Build:
    """Every bore of a hole that is not flat, to a close tolerance."""

    def close(bore: Bore) -> Bore:
        return bore if bore.flat else replace(bore, tolerance=0.02)

    return _with_one_hole(draw, build, lambda hole: replace(hole, bores=tuple(map(close, hole.bores))))


def tighter(draw: st.DrawFn, build: Build) -> Build:
    """A tighter position tolerance and flatness."""
    shares = 0.2, 0.5, 0.9
    return replace(
        build,
        position_tolerance=build.position_tolerance * one_of(draw, *shares),
        flatness=build.flatness * one_of(draw, *shares),
    )


def more_marked(draw: st.DrawFn, build: Build) -> Build:
    """More characters along every side, and another side marked."""
    more = draw(st.integers(0, 20))
    longer = tuple(replace(side, characters=side.characters + more) for side in build.marks)
    return replace(build, marks=(*longer, draw(MARKS)) if len(longer) < len(SIDES) else longer)


def better_finished(draw: st.DrawFn, build: Build) -> Build:
    """A finish that costs more by area and by the lot."""
    return replace(build, finish=one_of(draw, build.finish, *BETTER.get(build.finish, ())))


def more_setups(draw: st.DrawFn, build: Build) -> Build:
    """Clamped more often."""
    return replace(build, setups=build.setups + draw(st.integers(1, 4)))


def more_parts(draw: st.DrawFn, build: Build) -> Build:
    """Another part, and more of every part."""
    more = draw(st.integers(0, 4))
    parts = tuple(replace(part, count=part.count + more) for part in build.hardware)
    return replace(build, hardware=(*parts, draw(HARDWARE)))


def more_seats(draw: st.DrawFn, build: Build) -> Build:
    """Another seat, and every seat larger."""
    more = draw(tenths(0, 10))
    larger = tuple(
        replace(seat, length=seat.length + more, width=seat.width + more, depth=seat.depth + more)
        for seat in build.recesses
    )
    return replace(build, recesses=(*larger, draw(RECESSES)))


GROWTHS: tuple[Growth, ...] = (
    larger_blanks,
    larger_body,
    more_holes,
    deeper_holes,
    closer_holes,
    tighter,
    more_marked,
    better_finished,
    more_setups,
    more_parts,
    more_seats,
)
