"""Law 2: of two plates with the same body, the one whose holes are a subset of the other's never costs more.

"A wider pitch is never dearer" would be false: as many holes farther apart travel farther. A pitch times an integer
leaves a subset, if the margin stays and nothing holds the plate: holding screws stand where the pattern gives up least,
so that another pattern moves them.
"""

from collections import Counter
from itertools import cycle

from hypothesis import assume, example, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from tallyplate.contract import Build, HoleGroup, Lattice, Layout, Points, Taken
from tests.laws.builds import builds
from tests.laws.prices import cheaper, cost, made
from tests.strategies import FREE, SHOP, Json, in_mm, one_of, plates, written

STAYS = st.lists(st.booleans(), min_size=8, max_size=8)


def places(layout: Layout) -> Counter[tuple[float, float]]:
    """The centres of a layout, to the micrometre."""
    return Counter((round(x, 3), round(y, 3)) for x, y in layout.positions())


def fewer(draw: st.DrawFn, layout: Layout) -> Layout:
    """Some of a layout's positions, as a smaller layout or the same one with some given up."""
    if isinstance(layout, Points):
        return Points(tuple(place for place, stays in zip(layout.at, draw(STAYS), strict=False) if stays))
    way = one_of(draw, "given up", "left out", "lower left", "coarse", "singled out")
    if way == "lower left":
        columns, rows = draw(st.integers(1, layout.columns)), draw(st.integers(1, layout.rows))
        inside = tuple(node for node in layout.without if node[0] < columns and node[1] < rows)
        bare = {
            name: tuple(step for step in getattr(layout, name) if step < count)
            for name, count in (("bare_columns", columns), ("bare_rows", rows))
        }
        return replace(layout, columns=columns, rows=rows, without=inside, **bare)
    if way == "left out":
        return without_lines(layout, draw(st.integers(0, layout.columns - 1)), draw(st.integers(0, layout.rows - 1)))
    if way == "coarse":
        return coarse(layout, draw(st.integers(2, 5)))
    nodes = list(layout.nodes())
    kept = {node for node, stays in zip(nodes, cycle(draw(STAYS)), strict=False) if stays}
    if way == "given up":
        lost = {*layout.without, *nodes} - kept
        return replace(layout, without=tuple(sorted(lost)))
    # Back and forth, as the tool goes over the lattice: the order of points is the order of its way.
    there_and_back = sorted(kept, key=lambda node: (node[1], -node[0] if node[1] % 2 else node[0]))
    return Points(tuple(map(layout.position, there_and_back)))


def without_lines(lattice: Lattice, column: int, row: int) -> Lattice:
    """Another column and another row left out whole."""
    return replace(
        lattice,
        bare_columns=tuple(sorted({*lattice.bare_columns, column})),
        bare_rows=tuple(sorted({*lattice.bare_rows, row})),
        without=tuple(node for node in lattice.without if node[0] != column and node[1] != row),
    )


def coarse(lattice: Lattice, step: int) -> Lattice:
    """One column and row in so many. An even step meets nodes of one colour of a chessboard only."""
    even_step = step % 2 == 0
    if lattice.taken is Taken.ODD and even_step:
        return lattice
    return Lattice(
        lattice.x,
        lattice.y,
        step * lattice.pitch_x,
        step * lattice.pitch_y,
        (lattice.columns - 1) // step + 1,
        (lattice.rows - 1) // step + 1,
        Taken.ALL if even_step else lattice.taken,
        tuple((x // step, y // step) for x, y in lattice.without if x % step == y % step == 0),
        (),
        *(tuple(one // step for one in bare if one % step == 0) for bare in (lattice.bare_columns, lattice.bare_rows)),
    )


@st.composite
def subsets(draw: st.DrawFn) -> tuple[Build, Build]:
    """A build with fewer holes, and the build with all of them."""
    build = draw(builds())
    kept: list[HoleGroup] = []
    for group in build.holes:
        if draw(st.booleans()):
            kept.append(replace(group, layout=fewer(draw, group.layout)))
            assert places(kept[-1].layout) <= places(group.layout)
    return replace(build, holes=tuple(kept)), build


@settings(max_examples=150)
@given(subsets(), st.integers(1, 60))
def test_a_subset_of_holes_in_the_same_body_never_costs_more(pair: tuple[Build, Build], quantity: int) -> None:
    smaller, larger = pair
    assert not cheaper(larger, smaller, quantity)


def with_margin_stated(plate: Json) -> Json:
    """The same plate with pitch and margin in words, so that the margin does not follow the pitch."""
    pattern = plate["pattern"]
    pitch = pattern.get("pitch", SHOP.screws[pattern["screw"]].usual_pitch.text)
    return plate | {"pattern": pattern | {"pitch": pitch, "margin": pattern.get("margin", pitch)}}


HAIR_SHORT: Json = {
    "family": "rectangular",
    "length": "139.99999995 mm",
    "width": "70 mm",
    "material": "al-6061-t6",
    "pattern": {"arrangement": "combination", "screw": "M12", "pitch": "35 mm", "margin": "35 mm"},
    "mounting": FREE,
}
"""Short of a third hole by less than an atom. A slack that grows with the pitch would fit a second hole at 70 mm."""


@settings(max_examples=150)
@given(
    plates(mounting=st.just(FREE), arrangements=("combination", "alternating"), zoned=False).map(with_margin_stated),
    st.integers(2, 6),
    st.integers(1, 100),
)
@example(HAIR_SHORT, 2, 100)
def test_a_pitch_times_an_integer_never_costs_more(plate: Json, times: int, quantity: int) -> None:
    pattern = plate["pattern"]
    wider = plate | {"pattern": pattern | {"pitch": written(times * in_mm(pattern["pitch"]), "mm")}}
    assert not cheaper(made(plate), made(wider), quantity)


@settings(max_examples=100)
@given(
    plates(mounting=st.just(FREE), zoned=False),
    st.sampled_from(("rows_left_out", "columns_left_out")),
    st.lists(st.integers(1, 12), min_size=1, max_size=4),
    st.integers(1, 100),
)
def test_rows_and_columns_left_out_never_make_a_plate_that_nothing_holds_dearer(
    plate: Json, name: str, numbers: list[int], quantity: int
) -> None:
    pattern = plate["pattern"]
    separate = pattern["arrangement"] == "separate"
    of = pattern["locating"] if separate else pattern
    fewer = of | {name: [*of.get(name, ()), *numbers]}
    bare = plate | {"pattern": pattern | {"locating": fewer} if separate else fewer}
    assert not cheaper(made(plate), made(bare), quantity)


@settings(max_examples=100)
@given(plates(mounting=st.just(FREE), zoned=False), st.sampled_from(("margin", "shared", "centre")))
def test_where_a_lattice_begins_moves_its_holes_and_changes_nothing_else(plate: Json, laid_from: str) -> None:
    pattern = {name: value for name, value in plate["pattern"].items() if name != "laid_from"}
    assume("origin" not in pattern.get("locating", pattern))
    plain = made(plate | {"pattern": pattern})
    other = made(plate | {"pattern": pattern | {"laid_from": laid_from}})
    assert replace(other, holes=plain.holes, marks=plain.marks) == plain
    assert {group.kind: group.hole for group in other.holes}.items() <= {g.kind: g.hole for g in plain.holes}.items()
    if laid_from == "margin":
        assert other == plain
    # Half of what is left over may have held a last row of tapped holes, half a pitch beyond the locating ones.
    if laid_from == "shared" and pattern["arrangement"] != "separate":
        assert cost(other) == cost(plain)


def test_as_many_holes_farther_apart_cost_more_for_the_tools_travel_farther() -> None:
    near = made(HAIR_SHORT | {"length": "600 mm", "width": "600 mm"})
    far = replace(near, holes=tuple(map(twice_as_far_apart, near.holes)))
    assert cost(far) > cost(near)


def twice_as_far_apart(group: HoleGroup) -> HoleGroup:
    """As many holes on a lattice of twice the pitch."""
    lattice = group.layout
    assert isinstance(lattice, Lattice)
    return replace(group, layout=replace(lattice, pitch_x=2 * lattice.pitch_x, pitch_y=2 * lattice.pitch_y))


def test_twice_the_pitch_may_cost_more_where_kinds_take_turns_and_a_holding_screw_takes_the_only_tapped_hole() -> None:
    steel = HAIR_SHORT | {"length": "500 mm", "width": "60 mm", "material": "steel-4140"}
    steel |= {"mounting": {"surface": "t_slots", "locate": "none"}}
    row = {"arrangement": "alternating", "screw": "M12", "margin": "30 mm", "origin": {"x": "50 mm", "y": "30 mm"}}
    fine, coarse = (made(steel | {"pattern": row | {"pitch": pitch}}) for pitch in ("200 mm", "400 mm"))
    assert [group.kind for group in fine.holes] == ["combination", "holding"]
    assert [group.kind for group in coarse.holes] == ["combination", "tapped", "holding"]
    assert cost(coarse) > cost(fine)
