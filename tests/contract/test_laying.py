"""Where a lattice begins, its pitch by direction, staggered rows, and rows and columns left out."""

from itertools import pairwise
from math import dist
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from tallyplate.contract import Build, HoleGroup, Lattice, Refusal, Usual
from tallyplate.inquiry import read
from tests.plates import answer, built, installation, request

FREE: dict[str, Any] = {"surface": "none"}
SLOTS: dict[str, Any] = {"surface": "t_slots", "slot_width": "18 mm", "slot_spacing": "100 mm", "screw": "M16"}
GRID: dict[str, Any] = {"surface": "tapped_grid", "grid_pitch": "100 mm", "screw": "M12"}
PLAIN = {"arrangement": "combination", "pitch": "60 mm", "screw": "M12", "margin": "30 mm"}
"""On 700 x 450 mm: 11 columns and 7 rows, with 40 mm and 30 mm left over."""


def plate(mounting: dict[str, Any] = FREE, size: tuple[float, float] = (700, 450), **pattern: Any) -> Build:
    sizes = {"/plate/length": f"{size[0]} mm", "/plate/width": f"{size[1]} mm"}
    return built({**sizes, "/plate/mounting": mounting, "/plate/pattern": PLAIN | pattern})


def holes(build: Build) -> set[tuple[float, float]]:
    return {
        (round(x, 6), round(y, 6)) for group in build.holes if not group.mounting for x, y in group.layout.positions()
    }


def lattice(build: Build, kind: str = "combination") -> Lattice:
    (layout,) = [group.layout for group in build.holes if group.kind == kind]
    assert isinstance(layout, Lattice)
    return layout


def test_what_is_left_over_lies_at_the_far_edges_or_is_shared() -> None:
    (margin, shared) = (lattice(plate(laid_from=each)) for each in ("margin", "shared"))
    assert margin == lattice(plate())
    assert (margin.x, margin.y, margin.columns, margin.rows) == (30, 30, 11, 7)
    assert (shared.x, shared.y, shared.columns, shared.rows) == (50, 45, 11, 7)


def test_a_hole_lies_on_the_centre() -> None:
    assert (350.0, 225.0) in holes(plate(laid_from="centre"))
    assert (350.0, 225.0) not in holes(plate())
    centred = lattice(plate(laid_from="centre"))
    assert (centred.x, centred.y, centred.columns, centred.rows) == (50, 45, 11, 7)


sizes = st.integers(150, 900)
pitches = st.integers(25, 90)
margins = st.integers(17, 60)


@settings(max_examples=80, deadline=None)
@given(sizes, sizes, pitches, pitches, margins, st.sampled_from(("margin", "shared", "centre")), st.booleans())
def test_a_lattice_is_as_large_as_its_margins_let_it_be_wherever_it_begins(
    length: int, width: int, pitch: int, across: int, margin: int, laid_from: str, staggered: bool
) -> None:
    build = plate(
        size=(length, width), pitch=f"{pitch} mm", pitch_across=f"{across} mm", margin=f"{margin} mm",
        laid_from=laid_from, staggered=staggered,
    )  # fmt: skip
    found, of = holes(build), lattice(build)
    left, lower, right, upper = (
        min(x for x, _ in found), min(y for _, y in found), max(x for x, _ in found), max(y for _, y in found)
    )  # fmt: skip
    assert min(left, lower, length - right, width - upper) >= margin - 1e-6
    before, after = of.x - margin, length - margin - (of.x + (of.columns - 1) * of.pitch_x)
    step = pitch / 2 if staggered else pitch
    assert max(before, after) < step + 1e-6
    assert {"margin": before, "shared": before - after, "centre": before - after}[laid_from] == pytest.approx(0)
    if laid_from == "centre":
        assert (length / 2, width / 2) in found
    if laid_from == "shared":
        assert left + right == pytest.approx(length, abs=step * staggered + 1e-6)


@settings(max_examples=60, deadline=None)
@given(sizes, sizes, pitches, pitches, st.booleans())
def test_every_second_row_is_shifted_by_half_a_pitch(
    length: int, width: int, pitch: int, across: int, centred: bool
) -> None:
    beginning = "centre" if centred else "margin"
    build = plate(
        size=(length, width), pitch=f"{pitch} mm", pitch_across=f"{across} mm", staggered=True, laid_from=beginning
    )
    found, of = holes(build), lattice(build)
    heights = sorted({y for _, y in found})
    rows = {y: sorted(x for x, at in found if at == y) for y in heights}
    for row in rows.values():
        assert all(right - left == pytest.approx(pitch) for left, right in pairwise(row))
    for low, high in pairwise(heights):
        if of.columns > 1:
            assert high - low == pytest.approx(across)
            apart = [abs(a - b) % pitch for a in rows[low] for b in rows[high]]
            assert all(one == pytest.approx(pitch / 2) for one in apart)
    assert of.spacing <= min((dist(a, b) for a in found for b in found if a < b), default=1e9) + 1e-6


def test_rows_may_be_farther_apart_than_columns() -> None:
    across = lattice(plate(pitch_across="100 mm"))
    assert (across.pitch_x, across.pitch_y, across.columns, across.rows) == (60, 100, 11, 4)
    assert lattice(plate(pitch_across="60 mm")) == lattice(plate())


def test_each_separate_lattice_has_its_pitches_and_the_tapped_one_follows_the_locating_one() -> None:
    own = {"arrangement": "separate", "pitch": None, "locating": {"pitch": "60 mm", "pitch_across": "80 mm"}}
    wanted = {name: value for name, value in (PLAIN | own).items() if value}
    base = {"/plate/mounting": FREE}
    locating, tapped = (lattice(built({**base, "/plate/pattern": wanted}), kind) for kind in ("locating", "tapped"))
    assert (locating.pitch_y, tapped.pitch_x, tapped.pitch_y) == (80, 60, 80)
    assert (tapped.x - locating.x, tapped.y - locating.y) == (30, 40)
    other = wanted | {"laid_from": "shared", "tapped": {"pitch": "70 mm"}}
    locating, tapped = (lattice(built({**base, "/plate/pattern": other}), kind) for kind in ("locating", "tapped"))
    assert (locating.x, locating.y) == (50, 65)
    assert (tapped.x, tapped.y, tapped.pitch_x, tapped.pitch_y) == (80, 105, 70, 70)


@settings(max_examples=60, deadline=None)
@given(
    st.integers(260, 800), st.integers(260, 800), st.integers(40, 90), st.sampled_from((63, 80, 100)), st.booleans(),
    st.booleans(),
)  # fmt: skip
def test_on_the_table_holes_lie_over_the_screws_lines(
    length: int, width: int, pitch: int, spacing: int, slotted: bool, staggered: bool
) -> None:
    table = SLOTS | {"slot_spacing": f"{spacing} mm"} if slotted else GRID | {"grid_pitch": f"{spacing} mm"}
    build = plate(table, (length, width), pitch=f"{pitch} mm", laid_from="table", screw="M10", staggered=staggered)
    of = lattice(replace_without(build))
    (holding,) = [group for group in build.holes if group.kind == "holding"]
    (first, lower), *_ = holding.layout.positions()
    row = (lower - of.y) / of.pitch_y
    assert row == pytest.approx(round(row), abs=1e-6)
    # The plate is centred on a line of the table or between two, whatever its holes: it is not shifted for their sake.
    assert 2 * lower == pytest.approx(width) or (width - 2 * lower) % spacing == pytest.approx(0, abs=1e-6)
    assert build.table.laid_on
    if slotted:
        assert of.x == 30
        return
    column = (first - of.x) / of.pitch_x
    assert column == pytest.approx(round(column), abs=1e-6)
    # A line nearer to the edge than the margin has no hole, but those above it stand in line with it.
    assert [*of.taken_of([(round(column), round(row))])] or min(first, lower) < 30


def replace_without(build: Build) -> Build:
    """The same build with the holes that its screws took."""
    whole: list[HoleGroup] = []
    for group in build.holes:
        layout = group.layout
        whole.append(replace(group, layout=replace(layout, without=())) if isinstance(layout, Lattice) else group)
    return replace(build, holes=tuple(whole))


def test_rows_and_columns_left_out_are_counted_from_the_lower_left() -> None:
    every, fewer = holes(plate()), holes(plate(rows_left_out=[2, 7, 2], columns_left_out=[1]))
    assert every - fewer == {(x, y) for x, y in every if x == 30.0 or y in {90.0, 390.0}}
    assert fewer < every


def test_what_remains_keeps_its_letters_and_numbers() -> None:
    marks = {one.side: one.characters for one in plate(rows_left_out=[2], columns_left_out=[1]).marks}
    assert marks == {one.side: one.characters for one in plate().marks}


ROUND: dict[str, Any] = {"family": "round", "diameter": "400 mm", "material": "al-6061-t6"}


def test_on_a_disc_rows_may_be_left_out_and_nothing_else_is_asked() -> None:
    every = built({"/plate": ROUND})
    fewer = built({"/plate": ROUND | {"pattern": {"laid_from": "centre", "rows_left_out": [7]}}})
    assert holes(every) - holes(fewer) == {(x, y) for x, y in holes(every) if y == 200.0}
    pattern = {"laid_from": "shared", "pitch_across": "30 mm", "staggered": True}
    with pytest.raises(Refusal) as refusal:
        built({"/plate": ROUND | {"pattern": pattern}})
    assert {fault.pointer.rpartition("/")[2] for fault in refusal.value.faults} == set(pattern)


def test_a_face_of_a_block_has_no_table_and_all_else() -> None:
    block = {"family": "tombstone", "faces": 4, "face_width": "250 mm", "height": "450 mm", "material": "al-6061-t6"}
    pattern = {"arrangement": "combination", "laid_from": "shared", "pitch_across": "50 mm", "rows_left_out": [1]}
    group = next(one for one in built({"/plate": block | {"pattern": pattern}}).holes if not one.mounting)
    assert isinstance(group.layout, Lattice)
    assert (group.layout.pitch_y, group.layout.bare_rows) == (50, (0,))
    assert group.layout.box[0] == pytest.approx(250 - group.layout.box[2])
    with pytest.raises(Refusal, match="laid_from"):
        built({"/plate": block | {"pattern": {"laid_from": "table"}}})


def test_a_shop_that_says_where_its_lattices_begin_tells_so_where_something_is_left_over() -> None:
    here = installation()
    shop = replace(here.shops[-1], usual=replace(here.shops[-1].usual, laid_from="shared"))

    def assumed(**pattern: Any) -> tuple[Build, dict[str, object]]:
        inquiry = read(request({"/plate/mounting": FREE, "/plate/pattern": PLAIN | pattern}), here.families)
        usual = Usual()
        build = here.families["rectangular"].build(inquiry.plate, shop, usual)
        return build, {one.pointer: one.value for one in usual.assumed}

    build, told = assumed()
    assert told["/plate/pattern/laid_from"] == "shared"
    assert lattice(build).x == 50
    exact = {"pitch": "64 mm", "pitch_across": "65 mm"}
    for answered in (exact, {"laid_from": "margin"}, {"origin": {"x": "30 mm", "y": "30 mm"}}):
        assert "/plate/pattern/laid_from" not in assumed(**answered)[1]


def test_the_answer_says_which_lines_of_the_table_run_between_holes() -> None:
    def said(pitch: str, mounting: dict[str, Any]) -> str:
        changes = {"/plate/pattern": PLAIN | {"laid_from": "table", "pitch": pitch}, "/plate/mounting": mounting}
        found = {one["code"]: one for one in answer(changes)["findings"]}
        return found.get("lines-between-holes", {"message": ""})["message"]

    assert said("50 mm", SLOTS) == said("50 mm", GRID) == ""
    assert "slots 100 mm apart: rows 40 mm apart meet one in 2;" in said("40 mm", SLOTS)
    assert "rows 35 mm apart meet one in 4; columns 35 mm apart meet one in 6;" in said("35 mm", GRID)
